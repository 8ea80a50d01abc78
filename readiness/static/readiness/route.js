// The drawn route answers to finger, mouse and keys. All it does is fill in the fields of the form: the server sums.
const ECCENTRICITY = Math.sqrt((2 - 1 / 298.257223563) / 298.257223563); // WGS 84
const FAR_PX = 5; // a finger that moved less than this tapped
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
let held = null;
let chosen = "";

function latitudeAt(y) {
  const wanted = (y * Math.PI) / 180;
  let phi = Math.atan(Math.sinh(wanted));
  for (let turn = 0; turn < 6; turn += 1) {
    phi = Math.atan(Math.sinh(wanted + ECCENTRICITY * Math.atanh(ECCENTRICITY * Math.sin(phi))));
  }
  return (phi * 180) / Math.PI;
}

function written(degrees, letters) {
  const thousandths = Math.round(Math.abs(degrees) * 60000);
  return `${Math.floor(thousandths / 60000)} ${((thousandths % 60000) / 1000).toFixed(3)} ${letters[degrees < 0 ? 1 : 0]}`;
}

function placeAt(plot, x, y) {
  const { west, north, wide, high } = plot.dataset;
  const east = Number(west) + x * Number(wide);
  return {
    lat: written(latitudeAt(Number(north) - y * Number(high)), "NS"),
    lon: written(((((east + 180) % 360) + 360) % 360) - 180, "EW"),
  };
}

function share(plot, event) {
  const box = plot.getBoundingClientRect();
  const within = (value) => Math.min(1, Math.max(0, value));
  return [within((event.clientX - box.left) / box.width), within((event.clientY - box.top) / box.height)];
}

function fields(waypoint) {
  const row = `p${Number(waypoint.dataset.number) - 1}`;
  const form = document.getElementById("route-form");
  return { lat: form.elements[`${row}-lat`], lon: form.elements[`${row}-lon`], name: form.elements[`${row}-name`] };
}

function moveTo(plot, waypoint, [x, y]) {
  waypoint.parentNode.setAttribute("x", `${100 * x}%`);
  waypoint.parentNode.setAttribute("y", `${100 * y}%`);
  const place = placeAt(plot, x, y);
  const own = fields(waypoint);
  own.lat.value = place.lat;
  own.lon.value = place.lon;
}

function tell(waypoint) {
  fields(waypoint).lat.dispatchEvent(new Event("change", { bubbles: true }));
}

function plotOf(target) {
  return target instanceof Element ? target.closest("#editor.drawn svg.plot[data-west]") : null;
}

function draws() {
  const editor = document.getElementById("editor");
  const form = document.getElementById("route-form");
  if (!editor || !form) return;
  editor.classList.add("drawn");
  editor.querySelectorAll(".draws").forEach((part) => { part.hidden = false; });
  editor.querySelectorAll("svg.plot[data-west]").forEach((plot) => {
    plot.removeAttribute("aria-hidden");
    plot.setAttribute("role", "group");
    plot.setAttribute("aria-label", "The drawn route");
    plot.querySelectorAll(".waypoint").forEach((waypoint) => {
      const name = fields(waypoint).name;
      waypoint.setAttribute("tabindex", "0");
      waypoint.setAttribute("role", "button");
      waypoint.setAttribute("aria-label", `Point ${waypoint.dataset.number}, ${name ? name.value : ""}: arrow keys move it`);
      if (waypoint.dataset.number === chosen) waypoint.focus({ preventScroll: true });
    });
  });
}

document.addEventListener("pointerdown", (event) => {
  const plot = plotOf(event.target);
  if (!plot || event.button !== 0) return;
  const waypoint = event.target.closest(".waypoint");
  held = { plot, waypoint, x: event.clientX, y: event.clientY, far: false };
  if (!waypoint) return;
  event.preventDefault();
  waypoint.focus({ preventScroll: true });
  waypoint.setPointerCapture(event.pointerId);
});

document.addEventListener("pointermove", (event) => {
  if (!held) return;
  held.far = held.far || Math.hypot(event.clientX - held.x, event.clientY - held.y) > FAR_PX;
  if (!held.waypoint || !held.far) return;
  held.waypoint.classList.add("moving");
  moveTo(held.plot, held.waypoint, share(held.plot, event));
});

document.addEventListener("pointerup", (event) => {
  const { plot, waypoint, far } = held || {};
  held = null;
  if (!plot) return;
  if (waypoint) {
    waypoint.classList.remove("moving");
    if (far) tell(waypoint);
  } else if (!far && plotOf(event.target) === plot) {
    const place = placeAt(plot, ...share(plot, event));
    const form = document.getElementById("route-form");
    form.elements.add_lat.value = place.lat;
    form.elements.add_lon.value = place.lon;
    document.getElementById("do-add").click();
  }
});

document.addEventListener("pointercancel", () => { held = null; });

document.addEventListener("keydown", (event) => {
  const plot = plotOf(event.target);
  const waypoint = plot ? event.target.closest(".waypoint") : null;
  const way = ARROWS[event.key];
  if (!waypoint || !way) return;
  event.preventDefault();
  const box = plot.getBoundingClientRect();
  const pixels = event.shiftKey ? 10 : 1;
  const at = ["x", "y"].map((name) => parseFloat(waypoint.parentNode.getAttribute(name)) / 100);
  moveTo(plot, waypoint, [at[0] + (pixels * way[0]) / box.width, at[1] + (pixels * way[1]) / box.height]);
  tell(waypoint);
});

document.addEventListener("focusin", (event) => {
  const waypoint = event.target instanceof Element ? event.target.closest(".waypoint") : null;
  chosen = waypoint ? waypoint.dataset.number : "";
});

document.addEventListener("htmx:beforeSwap", () => {
  const active = document.activeElement && document.activeElement.closest(".waypoint");
  chosen = active ? active.dataset.number : "";
});

document.addEventListener("htmx:afterSettle", draws);
draws();

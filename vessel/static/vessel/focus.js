// After a part of the page is swapped: focus goes where the part says (data-focus), and one polite line tells it.
document.addEventListener("htmx:afterSettle", (event) => {
  const part = event.detail.elt;
  const asker = event.detail.requestConfig && event.detail.requestConfig.elt;
  const stays = asker && asker.id ? document.getElementById(asker.id) : null;
  const told = part.querySelector("[data-spoken]") || part.closest("[data-spoken]");
  const aim = stays || part.querySelector(".wrong input, .wrong textarea, .wrong select") || part.querySelector("[data-focus]");
  if (told) document.getElementById("live").textContent = told.dataset.spoken;
  if (aim && !(asker && asker.matches("input, textarea, select"))) aim.focus();
});

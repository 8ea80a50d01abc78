// The theme is changed in place, so that nothing that is being typed is lost. Without scripts it is a plain form.
document.addEventListener("submit", async (event) => {
  const form = event.target;
  if (form.id !== "theme-form" || !event.submitter) return;
  event.preventDefault();
  const sent = new FormData(form);
  sent.append(event.submitter.name, event.submitter.value);
  const answer = await fetch(form.action, { method: "POST", body: sent, headers: { Accept: "application/json" } });
  if (!answer.ok) return;
  const theme = await answer.json();
  document.documentElement.className = theme.key;
  document.querySelector("meta[name=color-scheme]").content = theme.color_scheme;
  document.querySelector("meta[name=theme-color]").content = theme.paper;
  document.querySelectorAll("button[form=theme-form]").forEach((button) => {
    button.setAttribute("aria-pressed", String(button.value === theme.key));
  });
  const quick = form.querySelector("button");
  quick.value = theme.key === "night" ? "day" : "night";
  quick.textContent = theme.key === "night" ? "Day" : "Night";
});

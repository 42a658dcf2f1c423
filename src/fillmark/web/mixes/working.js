// A search that takes a while says so; the page stays as it is until the answer comes.
for (const form of document.querySelectorAll("[data-working]")) {
  form.addEventListener("submit", () => { form.querySelector("[data-working-words]").hidden = false; });
}
addEventListener("pageshow", () => {
  for (const words of document.querySelectorAll("[data-working-words]")) words.hidden = true;
});

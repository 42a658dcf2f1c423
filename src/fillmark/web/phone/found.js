// What the gate of an act has found, on a page.

/**
 * The flags that the parts of a page are shown by.
 * @type {(found: Finding[]) => { asked: boolean, vet: boolean }}
 */
export const weightsOf = (found) => ({
  asked: found.some(({ weight }) => weight === "asked" || weight === "needs a word of the vet"),
  vet: found.some(({ weight }) => weight === "needs a word of the vet"),
});

/**
 * Each of them in its own line; what cannot be has a screen of its own.
 * @type {(place: any, found: Finding[]) => void}
 */
export function showFound(place, found) {
  const card = place?.querySelector("[data-found]");
  if (!card) return;
  const told = found.filter(({ weight }) => weight !== "refused");
  card.hidden = !told.length;
  card.querySelector("[data-found-list]").replaceChildren(...told.map(({ text }) => {
    const line = document.createElement("li");
    line.textContent = text;
    return line;
  }));
}

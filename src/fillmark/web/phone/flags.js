// Which parts of a page are shown.

/**
 * Show what holds: `data-if` names flags, "!" before one that must not be.
 * @type {(flags: { [flag: string]: boolean }) => void}
 */
export function setFlags(flags) {
  for (const place of document.querySelectorAll("[data-if]")) {
    place.hidden = !place.dataset.if.split(" ").every((/** @type {string} */ one) => flags[one.replace("!", "")] !== one.startsWith("!"));
  }
}

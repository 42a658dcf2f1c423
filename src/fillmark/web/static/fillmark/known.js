// What this phone knows of the animal, and what of a page shows for it.
import { queued, recorded } from "./store.js";
import { facts } from "./press.js";

/** The entries of this animal: those of the record, and those that wait here. What is asked about does not count yet. */
export async function knownEntries() {
  const [kept, queue] = await Promise.all([recorded(facts.animal), queued()]);
  const known = new Map(kept.map((one) => [one.id, one]));
  for (const item of queue) {
    if (item.state === "waiting" && item.shown.animal === facts.animal && !known.has(item.id)) known.set(item.id, item.shown);
  }
  return [...known.values()];
}

/** Show what holds: `data-if` names flags, "!" before one that must not be. */
export function setFlags(flags) {
  for (const place of document.querySelectorAll("[data-if]")) {
    place.hidden = !place.dataset.if.split(" ").every((one) => flags[one.replace("!", "")] !== one.startsWith("!"));
  }
}

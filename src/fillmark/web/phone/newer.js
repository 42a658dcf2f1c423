// What a page does not hold yet, because it was kept from before, or because it is not sent.
import { onChange } from "./send.js";
import { facts, knownEntries } from "./press.js";
import { isTooThick } from "./batches.js";
import { bottlesInUse, clock, counting, lockedByStrength } from "./record.js";
import "./phone.js";

const place = document.querySelector("[data-newer]");
const held = new Set([...document.querySelectorAll(".entries a")].map((link) => link.pathname.match(/\/entry\/([^/]+)\//)?.[1]));
const kinds = place.dataset.kinds.split(" ").filter(Boolean);

/** @type {(one: Entry) => boolean} */
const isBad = ({ payload }) => Boolean(payload.kind === "flow_test" && facts.batches && isTooThick(payload, facts.batches));

/** @type {(one: Entry) => HTMLElement} */
function line(one) {
  const made = document.createElement("li");
  const at = document.createElement("p");
  at.className = "quiet";
  at.textContent = clock(one.at, facts.zone);
  const said = document.createElement("div");
  const [told, by] = [document.createElement("p"), document.createElement("p")];
  said.append(told, by);
  told.textContent = one.told;
  by.textContent = one.seq === null ? `${one.byName} · not sent yet` : one.byName;
  if (isBad(one)) {
    const bad = document.createElement("p");
    bad.className = "trouble strong";
    bad.textContent = "Too thick, not to be given. Thin it, and test it again.";
    said.append(bad);
  }
  made.append(at, said, ...photo(one));
  return made;
}

/** @type {(one: Entry) => HTMLElement[]} */
function photo({ payload }) {
  if (payload.kind !== "photo_taken") return [];
  const shown = document.createElement("img");
  shown.className = "photo";
  shown.alt = payload.words ?? "Photo";
  shown.src = `/${facts.animal}/photo/${payload.photo}/`;
  return [shown];
}

/**
 * A bottle that the page does not know of, of another strength than its plan: nothing is drawn of that medicine.
 * @type {(entries: Entry[], newer: Entry[]) => string[]}
 */
function lockedWords(entries, newer) {
  const bottles = bottlesInUse(facts, entries);
  const locked = lockedByStrength(facts, entries);
  return (facts.medicines ?? []).filter((one) => locked.has(one.id) && newer.some(({ id }) => id === bottles[one.id].id))
    .map((one) => `${one.name} is locked: the new bottle says ${bottles[one.id].strength}, and the plan ${one.strength ? `says ${one.strength}` : "states no strength"}. Draw none of it until a lead has confirmed it.`);
}

async function show() {
  const entries = await knownEntries();
  const isNew = (/** @type {Entry} */ one) => (one.seq === null || one.seq > facts.seq) && !held.has(one.id);
  const isMine = (/** @type {Entry} */ one) => (kinds.length ? kinds.includes(one.payload.kind) : one.day === place.dataset.newer);
  const newer = counting(entries).filter((one) => isNew(one) && isMine(one));
  const locked = lockedWords(entries, newer);
  const words = place.querySelector("[data-locked-words]");
  words.textContent = locked.join(" ");
  words.hidden = locked.length === 0;
  const isTrouble = locked.length > 0 || newer.some(isBad);
  place.classList.toggle("card-trouble", isTrouble);
  place.classList.toggle("card-look-again", !isTrouble);
  place.querySelector("ol").replaceChildren(...newer.map(line));
  place.hidden = newer.length === 0;
}

onChange(show);
show();

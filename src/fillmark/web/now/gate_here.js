// What the gate of this phone says on the first screen: of the next session, and of the doses that are still due.
import { lookAhead, openDoses, sayLastMeal, sayTime } from "../phone/gate.js";
import { showFound, weightsOf } from "../phone/found.js";

/**
 * What speaks against the start of a session, and when the last meal was; whether anything is asked.
 * @type {(facts: Facts, entries: Entry[], toStart: string | null, session: string, now: number) => boolean}
 */
export function showGate(facts, entries, toStart, session, now) {
  const found = toStart ? lookAhead(facts, entries, toStart, now) : [];
  showFound(document.querySelector("[data-next]"), found);
  for (const place of document.querySelectorAll("[data-live=last-meal]")) place.textContent = sayLastMeal(facts, entries, session, now);
  return weightsOf(found).asked;
}

/**
 * The doses that are due and of which nobody has written what became.
 * @type {(facts: Facts, state: { views: SessionView[], next: SessionView | null, counted: Entry[] }, now: number) => void}
 */
export function showOpenDoses(facts, { views, next, counted }, now) {
  const made = document.getElementById("open-dose").content.firstElementChild;
  document.querySelector("[data-open-doses]").replaceChildren(...openDoses(facts, views, next, now).map((one) => {
    const card = made.cloneNode(true);
    const held = counted.findLast(({ session, payload }) => session === one.session && payload.medicine === one.medicine && payload.outcome === "held");
    card.querySelector("[data-due]").textContent = `Due ${one.time} · ${held ? "held" : "no entry"}`;
    card.querySelector("[data-name]").textContent = one.name;
    const ask = held ? `Held: ${held.payload.reason}.` : "Nobody wrote down whether it was given. Ask before you give it.";
    card.querySelector("[data-words]").textContent = one.until === null ? ask : `${ask} Not after ${sayTime(one.until, facts.zone, now)}.`;
    for (const way of card.querySelectorAll("[data-way]")) {
      way.href = `/${facts.animal}/${one.session}/#${way.dataset.way}-medicine-${one.medicine}`;
      way.querySelector(".hidden-words").textContent = `, ${one.name}`;
    }
    return card;
  }));
}

// What is asked before a press is written, by the gate of an act; loaded after a page, and when something is pressed.
import { checkAct } from "./gate.js";
import { isGated } from "./pressed.js";

/** @type {Promise<ActFacts> | undefined} */
let acts;
/**
 * The facts with the table of the gate, also where the page did not bring it along; a phone keeps the page that it stands on.
 * @type {(facts: Facts) => Promise<Facts>}
 */
export async function loadActs(facts) {
  if (facts.acts || !facts.actsAt) return facts;
  acts ??= readActs(facts.actsAt);
  try {
    facts.acts = await acts;
  } catch {
    acts = undefined;
  }
  return facts;
}
/** @type {(href: string) => Promise<ActFacts>} */
async function readActs(href) {
  const text = await (await fetch(href, { credentials: "same-origin" })).text();
  return JSON.parse(new DOMParser().parseFromString(text, "text/html").getElementById("acts").textContent);
}

const CLOSED = ["feeding-locked", "batch-not-to-be-given"];

/**
 * What the gate asks is asked before it is written, also where there is no signal to ask over. A dose that comes with its
 * reason names those that it stands too close to.
 * @type {(items: QueueItem[], facts: Facts, entries: Entry[], now: number) => QueueItem[]}
 */
export function askFirst(items, facts, entries, now) {
  return items.map((item) => {
    if (!isGated(item)) return item;
    const { payload, at, by, day } = item.shown;
    const { reason, ...silent } = payload;
    const found = checkAct(facts, entries, { payload: silent, at, by, day }, now);
    const despite = [...new Set(found.flatMap((one) => one.despite))];
    const ask = (/** @type {string} */ code, /** @type {string} */ message) => ({ ...item, state: /** @type {const} */ ("asked"), code, message, despite });
    const closed = found.find((one) => CLOSED.includes(one.code));
    if (closed) return ask(closed.code, "");
    const vet = found.find((one) => one.weight === "needs a word of the vet");
    if (vet) return ask("needs-vet", vet.text);
    const asked = found.filter((one) => one.weight === "asked");
    if (!asked.length) return item;
    const then = payload.kind === "came_back" ? "" : " Ask the vet before you give it.";
    if (!reason) return ask("needs-reason", asked.map((one) => one.text).join(" ") + then);
    if (payload.kind !== "medicine_given" || payload.despite || !despite.length) return item;
    const told = { ...payload, despite };
    return { ...item, entry: { ...item.entry, payload: told }, shown: { ...item.shown, payload: told } };
  });
}

// The second check on the phone: the reading is kept first, and only then held against the mark, which this page never has.
import { facts, knownEntries } from "../phone/press.js";
import { onChange } from "../phone/send.js";
import { counting, readSession } from "../phone/record.js";
import { fromNumber, writeNumber } from "../phone/amounts.js";
import { agrees } from "./agrees.js";
import "../phone/phone.js";

const read = new URLSearchParams(location.search).get("read");
const walk = location.pathname.replace(/second-check\/[^/]+\/$/, "");
const PATIENCE_MILLIS = 2500;
/** @type {(selector: string) => any} */
const find = (selector) => document.querySelector(selector);

/**
 * What was to be drawn, from the page of the session: the present one, or the one that this phone keeps.
 * @type {(medicine: string) => Promise<Drawn | null>}
 */
async function drawnFor(medicine) {
  const reply = await fetch(walk, { credentials: "same-origin", signal: /** @type {any} */ (AbortSignal).timeout(PATIENCE_MILLIS) })
    .catch(() => globalThis.caches?.match(walk, { cacheName: "fillmark-pages" }));
  const text = await reply?.text() ?? "";
  const told = new DOMParser().parseFromString(text, "text/html").getElementById("facts");
  return told ? JSON.parse(told.textContent).steps?.find((/** @type {StepFacts} */ step) => step.medicine === medicine)?.drawn ?? null : null;
}

/** @type {(read: Reading, drawn: Drawn | null) => string} */
function say({ ml, pieces }, drawn) {
  if (ml !== undefined) return `${writeNumber(fromNumber(ml))} mL`;
  return `${writeNumber(fromNumber(pieces ?? "0"))} ${drawn?.piece ?? "piece"}${pieces === "1" ? "" : "s"}`;
}

/**
 * Who has the session in hand by what this phone knows: their own reading counts for nothing, so another must be named.
 * @type {(entries: Entry[]) => void}
 */
function askWho(entries) {
  const record = readSession(walk.split("/").at(-2), counting(entries), Date.now(), facts.limits);
  if (record.standing !== "in hand" || record.heldBy !== facts.me || !find("[data-giver]")?.hidden) return;
  find("[data-giver]").hidden = false;
  const reader = find("#reader");
  if (!reader) return;
  find("[data-someone]").hidden = false;
  Object.assign(find("[data-self]"), { hidden: true, disabled: true });
  if (reader.value === "me") reader.value = "";
}

let isShown = false;
async function show() {
  if (isShown || !find("[data-ask]")) return;
  const entries = await knownEntries();
  askWho(entries);
  const one = entries.find(({ id }) => id === read);
  if (!one || one.payload.kind !== "second_check") return;
  isShown = true;
  const drawn = await drawnFor(one.payload.medicine);
  const place = find(drawn ? (agrees(one.payload, drawn) ? "[data-agrees]" : "[data-differs]") : "[data-not-compared]");
  place.querySelector("[data-by]").textContent = one.payload.reader_name ?? one.byName;
  place.querySelector("[data-read]").textContent = say(one.payload, drawn);
  if (place.matches("[data-agrees], [data-not-compared]")) find("[data-ask]").remove();
  place.hidden = false;
  place.focus();
}

if (facts && find("[data-ask]")) {
  onChange(show);
  show();
}

// A press is one fact, however often the finger lands: it is made here, at the first touch, and kept on this phone
// until the record has it. A form without facts, or without a place to keep them, goes to the server as it is.
import { enqueue, queued, recorded } from "./store.js";
import { changed, sync } from "./send.js";
import { NOTHING_WENT_IN, clock, counting, saySpan } from "./record.js";

/** A UUID of version 7 (RFC 9562): the milliseconds since 1970, then chance. */
export function entryId(millis = Date.now(), chance = crypto.getRandomValues(new Uint8Array(10))) {
  const bytes = new Uint8Array(16);
  for (let place = 5, rest = millis; place >= 0; place -= 1) {
    bytes[place] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes.set(chance, 6);
  bytes[6] = 0x70 | (bytes[6] & 0x0f);
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}

/** Ids for facts of one press: one chance, counted up at its end, so that they sort as they were written. */
export function entryIds(count, millis = Date.now()) {
  const chance = crypto.getRandomValues(new Uint8Array(10));
  chance[9] &= 0x7f;
  return Array.from({ length: count }, () => {
    const id = entryId(millis, chance);
    chance[9] += 1;
    return id;
  });
}

/** What the page tells about itself, the animal and the person; none before someone has signed in. */
export const facts = JSON.parse(document.getElementById("facts")?.textContent ?? "null");

/** The entries of this animal: those of the record, and those that wait here. What is asked about does not count yet. */
export async function knownEntries() {
  const [kept, queue] = await Promise.all([recorded(facts.animal), queued()]);
  const known = new Map(kept.map((one) => [one.id, one]));
  for (const item of queue) {
    if (item.state === "waiting" && item.shown.animal === facts.animal && !known.has(item.id)) known.set(item.id, item.shown);
  }
  return [...known.values()];
}

/** A number as people type it, with a point or a comma. */
export function readMl(text) {
  const plain = text.trim().replace(",", ".");
  return /^\d{1,4}(\.\d{1,2})?$/.test(plain) ? Number(plain) : null;
}

/** A fact with what was typed in its place; a sentence where that cannot be read. */
export function fillIn(fact, typed) {
  const filled = {};
  for (const [key, value] of Object.entries(fact)) {
    if (typeof value !== "object" || value === null || Array.isArray(value)) {
      filled[key] = value;
      continue;
    }
    const text = (typed[value.typed] ?? "").trim();
    if (key === "reason") {
      if (!text) return "Say why, in a few words.";
      filled[key] = text.slice(0, 2000);
      continue;
    }
    const ml = readMl(text);
    if (ml === null) return `"${text}" cannot be read. Type a number of mL, such as 12.5.`;
    if (value.from !== undefined && ml > value.from) return `${ml} mL is more than was drawn. Read the syringe again.`;
    filled[key] = value.from === undefined ? ml : Math.round((value.from - ml) * 1000) / 1000;
  }
  return filled;
}

function device() {
  let name = localStorage.getItem("fillmark-device");
  if (!name) {
    name = `browser-${entryId().slice(-8)}`;
    localStorage.setItem("fillmark-device", name);
  }
  return name;
}

/** The household's time, where a person has said that this phone's clock is wrong. */
const now = () => Date.now() - Number(localStorage.getItem("fillmark-clock") ?? 0);

function words(payload, button, typed) {
  if (button.dataset.told) return button.dataset.told + (typed ? `: ${typed}` : "");
  return button.textContent.trim();
}

/** The items of the queue that a press makes. */
function itemsOf(form, button) {
  const typed = Object.fromEntries(new FormData(form).entries());
  const written = form.querySelector(".field input")?.value.trim() ?? "";
  const payloads = JSON.parse(button.dataset.facts).map((fact) => fillIn(fact, typed));
  const fault = payloads.find((payload) => typeof payload === "string");
  if (fault) return fault;
  const at = form.dataset.dated ? Date.parse(form.dataset.dated) : now();
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone || facts.zone;
  const ids = entryIds(payloads.length);
  return payloads.map((payload, place) => {
    const entry = { id: ids[place], animal_id: facts.animal, at: new Date(at).toISOString(), zone, device: device(), payload };
    if (button.dataset.corrects) entry.corrects = button.dataset.corrects;
    const shown = {
      id: ids[place], animal: facts.animal, seq: null, at, day: (payload.session ?? new Date(at).toISOString()).slice(0, 10),
      session: payload.session ?? null, payload, corrects: button.dataset.corrects ?? null, by: facts.me, byName: facts.myName,
      told: words(payload, button, written),
    };
    return { id: ids[place], entry, shown, by: facts.me, state: "waiting", isFresh: place === 0 && !form.dataset.again, pressedAt: Date.now() };
  });
}

function showFault(form, text) {
  let place = form.querySelector("[role=alert]");
  if (!place) {
    place = document.createElement("p");
    place.setAttribute("role", "alert");
    place.className = "look-again";
    form.append(place);
  }
  place.textContent = text;
  form.querySelector("input:not([type=hidden])")?.focus();
}

// The second half of a double tap lands on what was shown since, where another button lies under the finger.
export const QUIET_MILLIS = 600;
let wakes;
const setQuiet = (isQuiet) => document.querySelectorAll("form[data-press] button").forEach((button) => {
  button.disabled = isQuiet;
  button.toggleAttribute("data-quiet", isQuiet);
});
/** Take no press for a moment: what is shown is new. */
export function keepQuiet() {
  clearTimeout(wakes);
  setQuiet(true);
  wakes = setTimeout(setQuiet, QUIET_MILLIS, false);
}
keepQuiet();

/** A dose inside the order's shortest gap is asked about before it is written, also where there is no signal to ask over. */
async function askAboutGaps(items) {
  const gaps = facts.gaps ?? {};
  const isDose = (one) => one.payload.kind === "medicine_given" && !NOTHING_WENT_IN.includes(one.payload.outcome);
  if (!items.some((item) => isDose(item.shown) && gaps[item.shown.payload.medicine])) return;
  const doses = counting(await knownEntries()).filter(isDose);
  for (const item of items) {
    const { payload, at } = item.shown;
    if (!isDose(item.shown) || payload.reason) continue;
    const gap = (gaps[payload.medicine] ?? 0) * 60_000;
    const close = doses.filter((one) => one.payload.medicine === payload.medicine && Math.abs(one.at - at) < gap);
    if (!close.length) continue;
    const last = close.at(-1);
    const message = `${last.byName} gave it at ${clock(last.at, facts.zone)}. The order leaves at least ${saySpan(gap)} between two doses. Ask the vet before you give it again.`;
    Object.assign(item, { state: "asked", code: "needs-reason", message, despite: close.map((one) => one.id) });
  }
}

/** Whether the same press waits for an answer already: it is asked once, however often the finger lands. */
async function isAsked(items) {
  const about = ({ kind, session, step, fill, medicine }) => JSON.stringify([kind, session, step, fill, medicine]);
  const asked = (await queued()).filter((one) => one.state === "asked" && one.shown.animal === facts.animal);
  return items.some((item) => asked.some((one) => about(one.shown.payload) === about(item.shown.payload)));
}

/** Keep the facts of a press, and send them; the page shows them before the answer comes. */
async function press(form, button) {
  const items = itemsOf(form, button);
  if (typeof items === "string") {
    showFault(form, items);
    return;
  }
  keepQuiet();
  form.setAttribute("aria-busy", "true");
  try {
    if (await isAsked(items)) {
      document.dispatchEvent(new CustomEvent("fillmark:asked"));
      return;
    }
    await askAboutGaps(items);
    await enqueue(items);
  } catch {
    showFault(form, "This phone could not keep it: its storage is full or closed. Write it on paper, and free some space.");
    return;
  } finally {
    form.removeAttribute("aria-busy");
  }
  form.querySelectorAll(".field input").forEach((input) => { input.value = ""; });
  if (form.closest(".screen:target")) location.hash = "";
  changed();
  const sent = sync(facts);
  const then = button.dataset.then ?? form.dataset.then;
  if (!then) return;
  await Promise.race([sent, new Promise((resolve) => setTimeout(resolve, 2500))]);
  location.assign(then);
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.matches("[data-press]")) return;
  const button = event.submitter ?? form.querySelector("button");
  if (button?.dataset.facts && facts && "indexedDB" in globalThis) {
    event.preventDefault();
    if (form.getAttribute("aria-busy") !== "true") press(form, button);
    return;
  }
  if (form.dataset.pressed) {
    event.preventDefault();
    return;
  }
  form.dataset.pressed = "yes";
  form.elements.entry_id.value = entryId();
  form.elements.zone.value = Intl.DateTimeFormat().resolvedOptions().timeZone || form.elements.zone.value;
  form.setAttribute("aria-busy", "true");
});

// A page that comes back out of the browser's memory shows an old step: ask for the present one.
window.addEventListener("pageshow", (event) => {
  if (event.persisted) location.reload();
});

// A press is one fact, however often the finger lands: it is made here, at the first touch, and kept on this phone
// until the record has it. A form without facts, or without a place to keep them, goes to the server as it is.
import { enqueue, queued, recorded } from "./store.js";
import { changed, sync } from "./send.js";
import { NOTHING_WENT_IN, bottlesInUse, clock, counting, householdDay, openLocks, saySpan, sessionKey } from "./record.js";
import { Fault } from "./amounts.js";

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

/** What the page tells about itself, the animal and the person; none before someone has signed in. @type {Facts} */
export const facts = JSON.parse(document.getElementById("facts")?.textContent ?? "null");

/**
 * The entries of this animal: those of the record, and those that wait here. What is asked about does not count yet.
 * @type {() => Promise<Entry[]>}
 */
export async function knownEntries() {
  const [kept, queue] = await Promise.all([recorded(facts.animal), queued()]);
  const known = new Map(kept.map((one) => [one.id, one]));
  for (const item of queue) {
    if (item.state === "waiting" && item.shown.animal === facts.animal && !known.has(item.id)) known.set(item.id, item.shown);
  }
  return [...known.values()];
}

/** @type {() => string} */
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

/** @type {(payload: Payload, button: HTMLElement, typed: string, say: (payload: Payload, names: { [medicine: string]: string }) => string) => string} */
function words(payload, button, typed, say) {
  if (button.dataset.told) return button.dataset.told + (typed ? `: ${typed}` : "");
  return say(payload, names()) || (button.textContent ?? "").trim();
}

const names = () => Object.fromEntries((facts.medicines ?? []).map(({ id, name }) => [id, name]));

/** What this phone knows besides what was typed: the bottle in use of each medicine, and the locks that hold. */
async function known() {
  const entries = await knownEntries();
  const bottles = Object.entries(bottlesInUse(facts, entries)).map(([medicine, { id }]) => [medicine, id]);
  return { bottles: Object.fromEntries(bottles), locks: openLocks(facts, entries).map((one) => one.id) };
}

let reader;
/** What reads a form is loaded with a page where something is typed, and not with the others. */
const loadReader = () => (reader ??= import("./form.js"));
if (document.querySelector('[data-facts*="typed"], [data-photo], #effect')) loadReader();

/** The payloads that a press makes, and the photo that goes with them; a Fault where something cannot be read. */
async function readForm(form, button) {
  const asked = button.dataset.facts ?? form.dataset.facts;
  const file = form.dataset.photo ? form.querySelector("input[type=file]")?.files[0] : null;
  if (!asked.includes('"typed"') && !file) return { payloads: JSON.parse(asked), photo: null, say: () => "" };
  const { fillIn, isEmpty, makePhoto, say } = await loadReader();
  const fields = { ...Object.fromEntries(new FormData(form).entries()), ...(button.name ? { [button.name]: button.value } : {}) };
  const texts = Object.fromEntries(Object.entries(fields).filter(([, value]) => typeof value === "string"));
  const here = await known();
  const payloads = JSON.parse(asked).filter((fact) => !(file && isEmpty(fact, texts))).map((fact) => fillIn(fact, texts, here));
  const photo = file ? { blob: await makePhoto(file, facts.limits), payload: fillIn(JSON.parse(form.dataset.photo), texts, here) } : null;
  return { payloads, photo, say };
}

/** The items of the queue that a press makes. */
function itemsOf(form, button, { payloads, photo, say }) {
  const typed = button.dataset.facts ? form.querySelector(".field input")?.value.trim() ?? "" : "";
  const at = form.dataset.dated ? Date.parse(form.dataset.dated) : now();
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone || facts.zone;
  const ids = entryIds(payloads.length + 1);
  const all = photo ? [...payloads, { ...photo.payload, photo: ids[payloads.length], about: photo.payload.about ?? (payloads.length ? ids[0] : undefined) }] : payloads;
  return all.map((payload, place) => {
    const entry = { id: ids[place], animal_id: facts.animal, at: new Date(at).toISOString(), zone, device: device(), payload };
    const corrects = button.dataset.corrects ?? form.dataset.corrects;
    if (corrects) entry.corrects = corrects;
    const shown = {
      id: ids[place], animal: facts.animal, seq: null, at, day: householdDay(payload.session ?? sessionKey(at, facts.zone), facts.dayStarts),
      session: payload.session ?? null, payload, corrects: corrects ?? null, by: facts.me, byName: facts.myName,
      told: words(payload, button, typed, say),
    };
    return { id: ids[place], entry, shown, by: facts.me, state: "waiting", isFresh: place === 0 && !form.dataset.again, pressedAt: Date.now() };
  });
}

function showFault(form, text) {
  let place = form.querySelector("[data-fault]");
  if (!place) {
    place = document.createElement("p");
    place.setAttribute("role", "alert");
    place.setAttribute("data-fault", "");
    place.className = "card card-look-again strong";
    form.append(place);
  }
  place.textContent = text;
  place.tabIndex = -1;
  place.focus({ preventScroll: true });
  place.scrollIntoView({ block: "center" });  // not below the buttons at the thumb
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
  const about = (/** @type {Payload} */ { kind, session, step, fill, medicine }) => JSON.stringify([kind, session, step, fill, medicine]);
  const asked = (await queued()).filter((one) => one.state === "asked" && one.shown.animal === facts.animal);
  return items.some((item) => asked.some((one) => about(one.shown.payload) === about(item.shown.payload)));
}

const FULL = "This phone could not keep it: its storage is full or closed. Write it on paper, and free some space.";
const PHOTO_FULL = "It is written down, without the photo: this phone's storage is full. Free some space, then add the photo to the entry.";

/** Keep the facts of a press, and send them; the page shows them before the answer comes. */
async function press(form, button) {
  keepQuiet();
  form.setAttribute("aria-busy", "true");
  let items;
  let isWithoutPhoto = false;
  try {
    const read = await readForm(form, button);
    if (!form.dispatchEvent(new CustomEvent("fillmark:read", { cancelable: true, bubbles: true, detail: read.payloads }))) return;
    items = itemsOf(form, button, read);
    if (await isAsked(items)) {
      document.dispatchEvent(new CustomEvent("fillmark:asked"));
      return;
    }
    await askAboutGaps(items);
    if (read.photo) isWithoutPhoto = !(await enqueueWithPhoto(items, read.photo.blob));
    else await enqueue(items);
  } catch (error) {
    showFault(form, error instanceof Fault ? error.message : FULL);
    return;
  } finally {
    form.removeAttribute("aria-busy");
  }
  if (isWithoutPhoto) showFault(form, PHOTO_FULL);
  else form.querySelector("[data-fault]")?.remove();
  form.querySelectorAll(".field input, .field textarea").forEach((input) => { input.value = ""; });
  if (form.closest(".screen:target")) location.hash = "";
  changed();
  const sent = sync(facts);
  const then = button.dataset.then ?? form.dataset.then;
  if (!then || isWithoutPhoto) return;
  await Promise.race([sent, new Promise((resolve) => setTimeout(resolve, 2500))]);
  const isSent = form.dataset.thenSent && !(await queued()).some((item) => item.id === items[0].id);
  location.assign((isSent ? form.dataset.thenSent : then).replace("{id}", items[0].id));
}

/** A photo that finds no room takes nothing with it: what was written is kept without it. */
async function enqueueWithPhoto(items, blob) {
  const photo = items.at(-1);
  try {
    await enqueue(items, [{ id: photo.id, animal: facts.animal, by: facts.me, byName: facts.myName, blob, state: "waiting" }]);
    await showFromHere(photo.id, blob);
    return true;
  } catch {
    if (items.length < 2) throw new Fault("No room for this photo", "what this phone's storage still takes", "Free some space, or send it when there is a signal.");
    await enqueue(items.slice(0, -1));
    return false;
  }
}

/** The photo is shown from this phone, also before the household's machine has it; see photo() in worker.js. */
async function showFromHere(id, blob) {
  const cache = await globalThis.caches?.open("fillmark-photos").catch(() => null);
  for (const size of ["", "small/"]) {
    await cache?.put(`/${facts.animal}/photo/${id}/${size}`, new Response(blob, { headers: { "Content-Type": "image/jpeg" } })).catch(() => {});
  }
}

document.addEventListener("submit", (event) => {
  const form = /** @type {any} */ (event.target);
  if (!form.matches("[data-press]")) return;
  const button = event.submitter ?? form.querySelector("button");
  if ((button?.dataset.facts ?? form.dataset.facts) && facts && "indexedDB" in globalThis) {
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

// A press is one fact, however often the finger lands: it is made here, at the first touch, and kept on this phone
// until the record has it. A form without facts, or without a place to keep them, goes to the server as it is.
import { enqueue, queued, recorded } from "./store.js";
import { changed, sync } from "./send.js";
import { bottlesInUse, openLocks } from "./record.js";
import { entryId, isAsked, isGated, itemsOf } from "./pressed.js";
import { Fault } from "./amounts.js";

/**
 * What the page tells about itself, the animal and the person; none before someone has signed in.
 * @type {Facts}
 */
export const facts = JSON.parse(document.getElementById("facts")?.textContent ?? "null");

/**
 * The entries of this animal: those of the record, and those that wait here. What is asked about does not count yet,
 * but for food that came back up.
 * @type {() => Promise<Entry[]>}
 */
export async function knownEntries() {
  const [kept, queue] = await Promise.all([recorded(facts.animal), queued()]);
  const known = new Map(kept.map((one) => [one.id, one]));
  for (const item of queue) {
    const counts = item.state === "waiting" || item.state === "asked" && item.shown.payload.kind === "came_back";
    if (counts && item.shown.animal === facts.animal && !known.has(item.id)) known.set(item.id, item.shown);
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

/** @type {(payload: Payload, button: HTMLElement, typed: string, say: Say) => string} */
function words(payload, button, typed, say) {
  if (button.dataset.told) return button.dataset.told + (typed ? `: ${typed}` : "");
  return say(payload, names()) || (button.textContent ?? "").trim();
}

const names = () => Object.fromEntries((facts.medicines ?? []).map(({ id, name }) => [id, name]));

/** What this phone knows besides what was typed: the bottle in use of each medicine, and the locks that hold. */
async function known() {
  const entries = await knownEntries();
  const bottles = Object.entries(bottlesInUse(facts, entries)).map(([medicine, { id }]) => [medicine, id]);
  const today = new Intl.DateTimeFormat("en-CA", { timeZone: facts.zone }).format(now());
  return { bottles: Object.fromEntries(bottles), locks: openLocks(facts, entries).map((one) => one.id), today, entries };
}

/** @type {Promise<typeof import("./form.js")> | undefined} */
let reader;
/** What reads a form is loaded with a page where something is typed, and not with the others. */
const loadReader = () => (reader ??= import("./form.js"));
if (document.querySelector('[data-facts*="typed"], [data-photo], #effect')) loadReader();

/** @type {Promise<typeof import("./ask_first.js")> | undefined} */
let gate;
const loadGate = () => (gate ??= import("./ask_first.js"));
/** At once from a phone that keeps it; over the line, after the page. */
export const GATE_AFTER_MILLIS = navigator.serviceWorker?.controller ? 0 : 2000;
if (facts?.acts || facts?.actsAt) setTimeout(async () => (await loadGate()).loadActs(facts), GATE_AFTER_MILLIS);

/**
 * The payloads that a press makes, and the photo that goes with them; a Fault where something cannot be read.
 * @type {(form: any, button: any) => Promise<Read>}
 */
async function readForm(form, button) {
  const asked = button.dataset.facts ?? form.dataset.facts;
  const file = form.dataset.photo ? form.querySelector("input[type=file]")?.files[0] : null;
  if (!asked.includes('"typed"') && !file) return { payloads: JSON.parse(asked), photo: null, say: () => "" };
  const { fillIn, isEmpty, makePhoto, say } = await loadReader();
  const fields = { ...Object.fromEntries(new FormData(form).entries()), ...(button.name ? { [button.name]: button.value } : {}) };
  const texts = Object.fromEntries(Object.entries(fields).filter(([, value]) => typeof value === "string"));
  const here = await known();
  const told = JSON.parse(asked).filter((/** @type {Payload} */ fact) => !(file && isEmpty(fact, texts)));
  const payloads = told.map((/** @type {Payload} */ fact) => fillIn(fact, texts, here));
  const photo = file ? { blob: await makePhoto(file, facts.limits), payload: /** @type {Payload} */ (fillIn(JSON.parse(form.dataset.photo), texts, here)) } : null;
  return { payloads, photo, say };
}

/**
 * When, where and of what a press is.
 * @type {(form: any, button: any, say: Say) => Press}
 */
function pressOf(form, button, say) {
  const typed = button.dataset.facts ? form.querySelector(".field input")?.value.trim() ?? "" : "";
  return {
    at: Date.parse(form.elements.dated?.value || form.dataset.dated) || now(),
    zone: Intl.DateTimeFormat().resolvedOptions().timeZone || facts.zone,
    device: device(),
    corrects: button.dataset.corrects ?? form.dataset.corrects ?? null,
    isAgain: Boolean(form.dataset.again),
    told: (payload) => words(payload, button, typed, say),
  };
}

/** @type {(form: any, text: string) => void} */
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
/** @type {ReturnType<typeof setTimeout> | undefined} */
let wakes;
const setQuiet = (/** @type {boolean} */ isQuiet) => document.querySelectorAll("form[data-press] button").forEach((button) => {
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

const FULL = "This phone could not keep it: its storage is full or closed. Write it on paper, and free some space.";
const PHOTO_FULL = "It is written down, without the photo: this phone's storage is full. Free some space, then add the photo to the entry.";

/**
 * Keep the facts of a press, and send them; the page shows them before the answer comes.
 * @type {(form: any, button: any) => Promise<void>}
 */
async function press(form, button) {
  keepQuiet();
  form.setAttribute("aria-busy", "true");
  /** @type {QueueItem[]} */
  let items;
  let isWithoutPhoto = false;
  try {
    const read = await readForm(form, button);
    if (!form.dispatchEvent(new CustomEvent("fillmark:read", { cancelable: true, bubbles: true, detail: read.payloads }))) return;
    items = itemsOf(read, pressOf(form, button, read.say), facts);
    if (isAsked(items, await queued(), facts.animal)) {
      document.dispatchEvent(new CustomEvent("fillmark:asked"));
      return;
    }
    // what was tapped is kept as soon as it can be: the entries are read only for what the gate asks about
    if (items.some(isGated)) items = (await loadGate()).askFirst(items, await (await loadGate()).loadActs(facts), await knownEntries(), now());
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
  form.querySelectorAll(".field input, .field textarea").forEach((/** @type {HTMLInputElement} */ input) => { input.value = ""; });
  if (form.closest(".screen:target")) location.hash = "";
  changed();
  const sent = sync(facts);
  const then = button.dataset.then ?? form.dataset.then;
  if (!then || isWithoutPhoto) return;
  await Promise.race([sent, new Promise((resolve) => setTimeout(resolve, 2500))]);
  const isSent = form.dataset.thenSent && !(await queued()).some((item) => item.id === items[0].id);
  location.assign((isSent ? form.dataset.thenSent : then).replace("{id}", items[0].id));
}

/**
 * A photo that finds no room takes nothing with it: what was written is kept without it.
 * @type {(items: QueueItem[], blob: Blob) => Promise<boolean>}
 */
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

/**
 * The photo is shown from this phone, also before the household's machine has it; see photo() in worker.js.
 * @type {(id: string, blob: Blob) => Promise<void>}
 */
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

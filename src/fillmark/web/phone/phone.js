// What every page at the animal's side does beside its own work: send what waits, say what is unsent, ask what must be
// asked, and keep the pages that are needed without a signal.
import { changePhoto, drop, dropPhoto, note, photosWaiting, queued, recall } from "./store.js";
import { onChange, status, sync, takeBack, writeAfterAll } from "./send.js";
import { facts } from "./press.js";

const MINUTE = 60_000;
/** The line is left to the person first. */
const KEEP_AFTER_MILLIS = 3000;
const place = document.getElementById("phone");
document.querySelector(".who")?.after(place);  // whose animal it is stands above everything

/** @type {(tag: string, words: string, attributes?: { [name: string]: string }) => any} */
export function part(tag, words, attributes = {}) {
  const made = document.createElement(tag);
  made.textContent = words;
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  return made;
}

/** @type {(words: string, work: () => unknown) => HTMLElement} */
export function action(words, work) {
  const button = part("button", words, { type: "button" });
  button.addEventListener("click", async () => {
    button.disabled = true;
    await work();
    await sync(facts);
    button.disabled = false;
  });
  return button;
}

/** @type {(className: string, ...parts: (Node | string)[]) => HTMLElement} */
export function card(className, ...parts) {
  const made = part("section", "", { class: `card stack ${className}`, role: "status" });
  made.append(...parts);
  return made;
}

/** @type {(many: number, one: string, more: string) => string[]} */
const some = (many, one, more) => (many ? [`${many} ${many === 1 ? one : more}`] : []);
/** @type {(items: QueueItem[], photos: QueuedPhoto[]) => string} */
export function count(items, photos) {
  const said = [...some(items.length, "entry", "entries"), ...some(photos.length, "photo", "photos")].join(" and ");
  return `${said} ${items.length + photos.length === 1 ? "is" : "are"}`;
}

/** @type {(items: QueueItem[], photos: QueuedPhoto[]) => HTMLElement} */
function unsentCard(items, photos) {
  const why = status.isSignedOut ? "Sign in again, then they are sent." : status.isOffline ? "No answer from the household's machine." : "Sending.";
  const made = card("unsent", part("p", `${count(items, photos)} on this phone and not sent yet. ${why}`));
  if (status.isSignedOut) made.append(part("a", "Sign in", { href: "/sign-in/", class: "button" }));
  else if (status.isOffline) made.append(action("Try now", () => {}));
  return made;
}

/** @type {{ [code: string]: [why: string, yes: string] }} */
const ASKED = {
  "already-recorded": ["The record has it already, or the session has gone on meanwhile.", "It happened a second time: write it down"],
  "held-by-another": ["Another person has this session in hand.", "It happened all the same: write it down"],
  "feeding-locked": ["Nothing goes through the tube until the vet has said so.", "It happened all the same: write it down"],
  "batch-not-to-be-given": ["The batch is too thick, or past its last day.", "It went in all the same: write it down"],
  "needs-reason": ["", "Write it down with this reason"],
  "needs-vet": ["", "It went in all the same: write it down"],
};

/** @type {(item: QueueItem) => HTMLElement} */
function askedCard(item) {
  const [why, yes] = ASKED[item.code ?? ""];
  const head = part("p", "");
  head.append(part("strong", "Not written down: "), `${item.shown.told}. ${why || item.message}`);
  const made = card("card-look-again asked", head);
  made.setAttribute("role", "alert");
  if (item.code === "needs-reason") {
    const field = part("div", "", { class: "field" });
    const input = part("input", "", { id: `why-${item.id}`, maxlength: "300", autocomplete: "off" });
    const ask = item.shown.payload.kind === "came_back" ? "Where does the rest come from: saliva, an older meal, a slip?" : "Why was it given all the same?";
    field.append(part("label", ask, { for: input.id }), input);
    made.append(field, action(yes, async () => { if (input.value.trim()) await writeAfterAll(item, input.value.trim()); }));
  } else {
    made.append(action(yes, () => writeAfterAll(item)));
  }
  made.append(action("It did not happen", () => takeBack(item)));
  return made;
}

/** @type {(item: QueueItem) => HTMLElement} */
function refusedCard(item) {
  const made = card("card-look-again", part("p", `Not kept: ${item.shown.told}. ${item.message}`));
  made.append(action("Try again", () => writeAfterAll(item)), action("Throw it away", () => drop(item.id)));
  return made;
}

/** @type {(told: string[]) => HTMLElement} */
function setAsideCard(told) {
  const made = card("card-look-again", part("p", `Set aside for a lead, who decides what becomes of it: ${told.join(" · ")}. It counts nowhere yet.`));
  made.setAttribute("role", "alert");
  made.append(action("I have read it", () => note("setAside", [])));
  return made;
}

/** @type {(photo: QueuedPhoto) => HTMLElement} */
function refusedPhotoCard(photo) {
  const made = card("card-look-again", part("p", `The photo is not kept. ${photo.message}`));
  made.append(action("Try again", () => changePhoto({ ...photo, state: "waiting" })), action("Throw the photo away", () => dropPhoto(photo.id)));
  return made;
}

/** @type {(item: QueueItem) => HTMLElement} */
function elsewhereCard(item) {
  return card("unsent", part("p", "A question about another animal waits."), part("a", "Go to it", { href: `/${item.shown.animal}/`, class: "button" }));
}

function isClockAsked() {
  const off = Math.abs(status.clockOffSeconds);
  if (off <= facts.limits.clockMinutes * 60) return false;
  return Math.abs(status.clockOffSeconds - Number(localStorage.getItem("fillmark-clock-asked") ?? 0)) > 60;
}

async function show() {
  const items = await queued();
  const isHere = (/** @type {QueueItem} */ item) => item.shown.animal === facts.animal;
  const cards = items.filter((item) => item.state === "asked" && isHere(item)).map(askedCard);
  cards.push(...items.filter((item) => item.state === "refused" && isHere(item)).map(refusedCard));
  const elsewhere = items.find((item) => item.state !== "waiting" && !isHere(item));
  if (elsewhere) cards.push(elsewhereCard(elsewhere));
  const photos = await photosWaiting();
  cards.push(...photos.filter((photo) => photo.state === "refused" && photo.by === facts.me).map(refusedPhotoCard));
  const waits = (/** @type {QueueItem | QueuedPhoto} */ one) => one.state === "waiting";
  const isMine = (/** @type {QueueItem | QueuedPhoto} */ one) => one.by === facts.me;
  const [waiting, photosToSend] = [items.filter(waits), photos.filter(waits)];
  const [mine, myPhotos] = [waiting.filter(isMine), photosToSend.filter(isMine)];
  const [others, theirPhotos] = [waiting.filter((one) => !isMine(one)), photosToSend.filter((one) => !isMine(one))];
  const isUnsent = mine.length + myPhotos.length > 0;
  if (isUnsent && (status.isOffline || status.isSignedOut)) cards.push(unsentCard(mine, myPhotos));
  if (others.length + theirPhotos.length) {
    const name = others[0]?.shown.byName ?? theirPhotos[0].byName;
    cards.push(card("unsent", part("p", `${count(others, theirPhotos)} of ${name} on this phone, to be sent when ${name} signs in here.`)));
  }
  if (!isUnsent && status.isOffline) cards.push(card("unsent", part("p", "No answer from the household's machine. What is pressed is kept on this phone.")));
  const heardAt = await recall("heardAt");
  const hasJumped = heardAt && heardAt - Date.now() > facts.limits.clockMinutes * MINUTE;
  const ask = isClockAsked() || hasJumped ? await import("./clocks.js").catch(() => null) : null;
  if (ask && isClockAsked()) cards.push(ask.clockCard());
  const setAside = (await recall("setAside")) ?? [];
  if (setAside.length) cards.push(setAsideCard(setAside));
  if (ask && hasJumped) cards.push(ask.jumpCard(heardAt));
  if (cannotKeep) cards.push(card("unsent", part("p", `${cannotKeep}, so the app cannot be kept here for times without a signal. What is pressed is kept here until it is sent.`)));
  // A card that says the same is not swapped under the finger, nor one in which somebody types.
  const said = cards.map((one) => one.textContent).join("|");
  const isTyping = place.contains(document.activeElement) && /** @type {any} */ (document.activeElement).value;
  if (said === saidBefore || isTyping) return;
  saidBefore = said;
  const asked = cards.filter((one) => one.matches(".asked")).length;
  place.replaceChildren(...cards);
  place.hidden = cards.length === 0;
  if (asked > askedBefore) lookAtQuestion();
  askedBefore = asked;
}

/** Why this phone cannot keep the app for times without a signal; nothing where it can, or has not tried yet. */
let cannotKeep = isSecureContext ? "" : "This address is not encrypted";
async function keep() {
  const { keepPages } = await import("./keep.js");
  cannotKeep = await keepPages(/** @type {Facts} */ (facts)) ?? cannotKeep;
  show();
}

let saidBefore = "";
let askedBefore = 0;
/** A question stands above what the finger just pressed: bring it into sight, and tell it to who cannot see it. */
function lookAtQuestion() {
  const first = place.querySelector(".asked");
  if (!first) return;
  first.tabIndex = -1;
  scrollTo(0, 0);
  first.focus({ preventScroll: true });
}
document.addEventListener("fillmark:asked", lookAtQuestion);

if (facts && "indexedDB" in globalThis) {
  onChange(show);
  show();
  const again = () => { if (document.visibilityState === "visible") sync(facts); };
  sync(facts).then(() => setTimeout(keep, KEEP_AFTER_MILLIS));
  addEventListener("online", again);
  document.addEventListener("visibilitychange", again);
  setInterval(again, 20_000);
}

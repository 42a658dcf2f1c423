// The walk on the phone: which screen of the session fits what is recorded, here and in the household's record.
import { onChange } from "../phone/send.js";
import { facts, keepQuiet, knownEntries } from "../phone/press.js";
import { setFlags } from "../phone/flags.js";
import { showLine } from "../drawings/day_line.js";
import {
  CAME_BACK, bottlesInUse, clock, householdDay, isBehind, newestTime, nextAndLast, number, readSession, saySession, sessionKey,
} from "../phone/record.js";
import { actOf, checkAct, lookAhead, sayLastDose, sayLastMeal } from "../phone/gate.js";
import { showFound, weightsOf } from "../phone/found.js";
import { batchInUse, sayBatch } from "../phone/batches.js";
import { screenOf } from "./screen.js";
import { pushedSince, showPace, waitForPush } from "./pace.js";
import { timeStep } from "./too_early.js";
import "../phone/phone.js";
import "./aloud.js";
import "./awake.js";

const here = /** @type {string} */ (facts.here);
const all = (/** @type {string} */ selector) => document.querySelectorAll(selector);
const live = (/** @type {string} */ name, /** @type {string} */ words) => all(`[data-live=${name}]`).forEach((place) => { place.textContent = words; });

/**
 * The way to the label that was written down last, perhaps on this phone a moment ago.
 * @type {(entries: Entry[]) => void}
 */
function showBottles(entries) {
  const bottles = bottlesInUse(facts, entries);
  for (const link of all("[data-strength-of]")) {
    const bottle = bottles[link.dataset.strengthOf];
    if (bottle) link.href = `/${facts.animal}/bottles/${bottle.id}/strength/`;
  }
}

let shown = document.querySelector(".screen-shown")?.id;
/** @type {number | null} */
let heard = null;

/**
 * What the gate says of what a screen is about to do, and when that last went in.
 * @type {(name: string, step: StepFacts | null, entries: Entry[], now: number) => Finding[]}
 */
function findings(name, step, entries, now) {
  const payload = /** @type {Payload | null} */ (!step || name !== `step-${step.id}` ? null
    : step.fill ? { kind: "fill_given", session: here, fill: step.fill, ml: step.ml }
      : step.medicine && { kind: "medicine_given", session: here, medicine: step.medicine, outcome: "given" });
  if (facts.acts && payload) {
    const last = document.querySelector(`#${CSS.escape(name)} [data-last-giving]`);
    if (last) last.textContent = step?.fill ? sayLastMeal(facts, entries, here, now) : sayLastDose(facts, entries, payload.medicine, now);
  }
  if (name === "is-no-entry") return lookAhead(facts, entries, here, now);
  return payload ? checkAct(facts, entries, actOf(facts, payload, now), now) : [];
}

/**
 * Whether the gate asks about each dose that may have stayed open, and what it says; a time to come cannot be chosen.
 * @type {(entries: Entry[], now: number) => { [flag: string]: boolean }}
 */
function openFlags(entries, now) {
  for (const option of all("select[name=dated] option")) option.hidden = Date.parse(option.value) > now;
  return Object.fromEntries(facts.steps.filter((step) => step.medicine).map((step) => {
    const place = document.getElementById(`open-${step.id}`);
    const act = actOf(facts, { kind: "medicine_given", session: here, medicine: step.medicine, outcome: "given" }, now);
    const found = place ? checkAct(facts, entries, act, now) : [];
    showFound(place, found);
    const last = place?.querySelector("[data-last-giving]");
    if (last && facts.acts) last.textContent = sayLastDose(facts, entries, /** @type {string} */ (step.medicine), now);
    return [`asked-open-${step.id}`, weightsOf(found).asked];
  }));
}

/**
 * Whether this person has read the rule for the mouth today: it is asked once, and stands there as a line from then on.
 * @type {(counted: Entry[], now: number) => boolean}
 */
function hasRead(counted, now) {
  const today = householdDay(sessionKey(now, facts.zone), facts.dayStarts);
  return counted.some(({ payload, by, day, at }) => payload.kind === "step_done" && payload.step === "wash-hands" && by === facts.me
    && day === today && at >= (facts.planSince ?? Infinity));
}

/** @type {(name: string) => void} */
function swap(name) {
  if (name === shown && !location.hash.slice(1)) return;
  const isNew = name !== shown;
  document.querySelector(".screen-shown")?.classList.remove("screen-shown");
  document.getElementById(name)?.classList.add("screen-shown");
  shown = name;
  if (!isNew) return;
  keepQuiet();
  // a page kept from before is set right at its first look: the open dose that a link led to stays in sight
  const isLedTo = heard === null && /^#(open|skip|told)-/.test(location.hash);
  if (location.hash && !isLedTo) location.hash = "";
  scrollTo(0, 0);
  // The first look is the browser's own; later ones are told to who cannot see them.
  if (heard !== null) document.querySelector(`#${CSS.escape(name)} h1:not([hidden])`)?.focus({ preventScroll: true });
}

async function show() {
  const entries = await knownEntries();
  const now = Date.now();
  const state = nextAndLast(facts, entries, now);
  const record = readSession(here, state.counted, now, facts.limits);
  if (record.standing === "no entry") makeAnew(state.counted);
  // A page that a phone kept from before, with no record yet to set beside it, stays as it was made.
  if (heard === null && record.standing === "no entry" && shown !== "is-no-entry" && !entries.length) return;
  showLine(facts, state.views, now);
  const place = facts.steps.findIndex((step) => !isBehind(step, record));
  const step = place >= 0 ? facts.steps[place] : null;
  const batch = batchInUse(facts, entries, now);
  const name = screenOf(facts, record, step, entries, batch, (screen) => document.getElementById(screen) !== null);
  const found = findings(name, step, entries, now);
  showFound(document.getElementById(name), found);
  setFlags({
    ...openFlags(entries, now),
    ...weightsOf(found),
    past: (facts.hereAt ?? 0) < now,
    next: state.next?.key === here,
    last: state.last?.key === here,
    stopped: state.last?.record.standing === "stopped",
    planned: facts.steps.length > 0,
    back: record.reason === CAME_BACK,
    clear: facts.mayClear,
    read: hasRead(state.counted, now),
    batch: Boolean(batch?.faults.length),
    old: Boolean(batch?.faults.includes("past its last day")),
  });
  const isStep = name.startsWith("step-") || name.startsWith("locked-");
  showBottles(entries);
  live("under", isStep ? `Step ${place + 1} of ${facts.steps.length}` : `The ${here.slice(11)} session`);
  live("so-far", saySession(record, facts.mealMl, facts.zone));
  live("went-in", number(record.blend?.low ?? 0));
  if (batch) {
    live("batch", sayBatch(batch));
    live("batch-faults", batch.faults.join(" and "));
  }
  live("held-by", record.heldByName ?? "Someone");
  document.querySelector("[data-pause]").hidden = !isStep;
  showUndo(state.counted.filter((one) => one.session === here).at(-1));
  const changes = name !== shown;
  swap(name);
  heard = now;
  if (changes || isStep) {
    const screen = document.getElementById(name), push = `${here} ${name}`;
    const since = step?.fill ? pushedSince(push) : record.lastAt ?? now;
    showPace(screen, step?.seconds ?? 0, since);
    timeStep(screen, isStep ? step?.seconds ?? 0 : 0, since ?? record.lastAt ?? now);
    waitForPush(screen, push, show);
  }
  if (changes) document.dispatchEvent(new CustomEvent("fillmark:shown", { detail: name }));
}

/**
 * Times or amounts that were accepted after this page was made: it is fetched anew, once, before anything begins.
 * @type {(counted: Entry[]) => void}
 */
function makeAnew(counted) {
  const word = newestTime(here, counted)?.id ?? null;
  const asked = `${here} ${word}`;
  if (word === facts.newTime || !navigator.onLine || sessionStorage.getItem("made-anew") === asked) return;
  sessionStorage.setItem("made-anew", asked);
  location.reload();
}

/** @type {(last: Entry | undefined) => void} */
function showUndo(last) {
  const strip = document.querySelector("[data-undo]");
  strip.hidden = true;
  if (!last || last.by !== facts.me || !facts.undoable.includes(last.payload.kind)) return;
  strip.hidden = false;
  const words = `${last.told}, ${clock(last.at, facts.zone)}`;
  strip.querySelector("p").replaceChildren(words);
  const button = strip.querySelector("button");
  button.dataset.facts = JSON.stringify([{ kind: "withdrawn", reason: "Pressed by mistake" }]);
  button.dataset.corrects = last.id;
  button.dataset.told = `Taken back: ${last.told}`;
  button.setAttribute("aria-label", `Undo: ${words}`);
}

for (const link of all("[data-back]")) {
  link.addEventListener("click", (/** @type {MouseEvent} */ event) => {
    event.preventDefault();
    history.length > 1 ? history.back() : (location.hash = "");
  });
}
addEventListener("hashchange", () => {
  keepQuiet();
  const asked = location.hash && document.getElementById(location.hash.slice(1));
  asked?.querySelector("h1")?.focus({ preventScroll: true });
  scrollTo(0, 0);
});

onChange(show);
setInterval(show, 15_000);
show();

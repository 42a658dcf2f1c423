// The first screen on the phone: was the last one given, and what is next, by what the record and this phone hold.
import { onChange } from "../phone/send.js";
import { GATE_AFTER_MILLIS, facts, knownEntries } from "../phone/press.js";
import { clock, isLocked, lockedByStrength, nextAndLast, sayDoses, sayOutcome, saySession, saySpan } from "../phone/record.js";
import { setFlags } from "../phone/flags.js";
import { showLine } from "../drawings/day_line.js";
import "../phone/phone.js";

/** @type {(selector: string) => any} */
const find = (selector) => document.querySelector(selector);
/** @type {(name: string, words: string) => void} */
const live = (name, words) => document.querySelectorAll(`[data-live=${name}]`).forEach((place) => { place.textContent = words; });
/** @type {(view: SessionView) => string} */
function lastTitle(view) {
  const { standing, blend, lastAt } = view.record;
  if (["no entry", "skipped"].includes(standing)) return view.time.slice(11);
  const parts = [...(blend ? ["Meal"] : []), ...sayDoses(view.record)];
  return `${parts.join(" and ") || "Session"}, ${clock(lastAt ?? 0, facts.zone)}`;
}

/** @type {(view: SessionView, now: number) => [words: string, isDue: boolean]} */
function when(view, now) {
  const { standing, reason, lastByName, lastAt, heldByName, startedAt } = view.record;
  if (standing === "paused" && reason) return [`Food came back up at ${clock(lastAt ?? 0, facts.zone)}: decide what comes next`, true];
  if (standing === "paused") return [`Paused by ${lastByName} at ${clock(lastAt ?? 0, facts.zone)}`, false];
  if (standing === "in hand") return [`${heldByName} has it, since ${clock(startedAt ?? 0, facts.zone)}`, false];
  const gap = (view.planned?.at ?? now) - now;
  return gap >= 0 ? [`Next, in ${saySpan(gap)}`, false] : [`Due ${saySpan(-gap)} ago, no entry`, true];
}

let ahead;
/**
 * The card and the button of another session than the one this page was made with.
 * @type {(key: string) => Promise<boolean>}
 */
async function takeCard(key) {
  ahead ??= fetch(`/${facts.animal}/ahead/`, { credentials: "same-origin" })
    .then((reply) => reply.text())
    .then((text) => new DOMParser().parseFromString(text, "text/html"));
  const made = (await ahead.catch(() => { ahead = undefined; }))?.querySelector(`[data-session="${CSS.escape(key)}"]`);
  if (!made) return false;
  find("[data-next]").replaceChildren(document.importNode(made.querySelector("[data-part=card]"), true));
  find("[data-next]").dataset.next = key;
  find("[data-go]").replaceChildren(document.importNode(made.querySelector("[data-part=go]"), true));
  return true;
}

/** @type {(view: SessionView) => void} */
function showLast(view) {
  const { record } = view;
  live("last-title", lastTitle(view));
  live("last-words", saySession(record, view.planned?.mealMl, facts.zone));
  live("last-clock", view.time.slice(11));
  const isUnclear = ["no entry", "not known"].includes(record.standing);
  const isStopped = record.standing === "stopped";
  const card = find("[data-last]");
  card.classList.toggle("card-look-again", isUnclear);
  card.classList.toggle("card-trouble", isStopped);
  find("[data-unclear]").hidden = !isUnclear;
  find("[data-stopped]").hidden = !isStopped;
  const href = `/${facts.animal}/${view.key}/`;
  find("[data-unclear] a").href = href;
  const toStopped = find('[data-if="!started stopped"]');
  if (toStopped) toStopped.href = href;
}

/**
 * "Did I give that today?", from every dose of the household's day.
 * @type {(counted: Entry[], now: number) => void}
 */
function showDoses(counted, now) {
  const today = facts.days.find((day) => day.from <= now && now < day.until);
  if (!today) return;
  for (const place of document.querySelectorAll("[data-medicine]")) {
    const mine = counted.filter((one) => one.payload.kind === "medicine_given" && one.payload.medicine === place.dataset.medicine
      && one.at >= today.from && one.at < today.until);
    if (!mine.length) continue;
    place.querySelector("[data-live-dose]").textContent = mine
      .map((one) => `${sayOutcome(one.payload.outcome)} ${clock(one.at, facts.zone)} by ${one.payload.given_by ?? one.byName}`).join(", ");
  }
}

/**
 * When the next session comes, where this page was made before it was given another time, or before that was undone.
 * @type {(view: SessionView) => void}
 */
function showTime(view) {
  const time = view.time.slice(11), isMoved = view.time !== view.key;
  live("next-clock", time);
  const note = find("[data-moved]");
  note.hidden = !isMoved;
  note.textContent = isMoved ? `Planned for ${view.key.slice(11)}, moved today.` : "";
  const start = find("[data-go] button[value=start]");
  if (start) start.textContent = `Start ${time}`;
}

/**
 * No mark of a medicine whose bottle in use has another strength: the old mL would be another dose.
 * @type {(entries: Entry[]) => void}
 */
function showStrengths(entries) {
  const locked = lockedByStrength(facts, entries);
  for (const place of document.querySelectorAll("[data-mark-of]")) {
    const isClosed = locked.has(place.dataset.markOf);
    place.querySelector("[data-drawn]").hidden = isClosed;
    place.querySelector("[data-closed]").hidden = !isClosed;
  }
  for (const place of document.querySelectorAll("[data-strength-locked]")) place.hidden = !locked.has(place.dataset.strengthLocked);
}

/** @type {typeof import("./gate_here.js") | undefined} */
let gate;
setTimeout(async () => {
  const [loaded, { loadActs }] = await Promise.all([import("./gate_here.js"), import("../phone/ask_first.js")]);
  if (!(await loadActs(facts)).acts) return;
  gate = loaded;
  await show();
}, GATE_AFTER_MILLIS);

let isAsked = find("[data-go]")?.querySelector('[data-if="!started !stopped asked"]')?.hidden === false;
let isFirst = true;
async function show() {
  const entries = await knownEntries();
  const now = Date.now();
  // Until this phone has heard the record once, the page stands as it was made.
  if (isFirst && !entries.length) return;
  isFirst = false;
  const state = nextAndLast(facts, entries, now);
  if (state.last) showLast(state.last);
  showDoses(state.counted, now);
  gate?.showOpenDoses(facts, state, now);
  showStrengths(entries);
  showLine(facts, state.views, now);
  live("clock", `${new Date(now).toLocaleDateString("en-US", { weekday: "long", timeZone: facts.zone })} ${clock(now, facts.zone)}`);
  find("[data-locked]").hidden = !isLocked(facts, entries);
  const clashes = state.views.flatMap((view) => view.record.clashes);
  if (clashes.length) {
    find("[data-clashes]").hidden = false;
    find("[data-clash-list]").replaceChildren(...clashes.map((clash) => {
      const line = document.createElement("p");
      line.textContent = `Two entries of ${clash.what}.`;
      return line;
    }));
  }
  if (!state.next || !find("[data-next]")) return;
  if (find("[data-next]").dataset.next !== state.next.key && !(await takeCard(state.next.key))) return;
  showStrengths(entries);
  const [words, isOverdue] = when(state.next, now);
  live("when", words);
  find("[data-live=when]").classList.toggle("label-strong", isOverdue);
  showTime(state.next);
  live("so-far", saySession(state.next.record, state.next.planned?.mealMl, facts.zone));
  const flags = { started: state.next.record.standing !== "no entry", stopped: state.last?.record.standing === "stopped" };
  if (!gate) {
    setFlags({ ...flags, asked: isAsked });
    return;
  }
  isAsked = gate.showGate(facts, entries, flags.started ? null : state.next.key, state.next.key, now);
  setFlags({ ...flags, asked: isAsked });
}

onChange(show);
setInterval(show, 15_000);
show();

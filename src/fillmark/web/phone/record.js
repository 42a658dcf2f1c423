// What the entries add up to, on the phone: the same answers as core/ledger.py and services/sessions.py give, so that
// nothing changes when the signal comes back. tests/journeys/test_the_phones_reckoning.py holds both to the same cases.

import { fromNumber, isSameStrength, strengthOf, writeNumber } from "./amounts.js";
import { counting, showEntries } from "./corrections.js";

export { counting } from "./corrections.js";
export { isLocked, openLocks } from "./locks.js";

const MINUTE = 60_000;
export const NOT_KNOWN = "not known";
export const NOTHING_WENT_IN = ["held", "refused", "missed"];
/**
 * What became of a dose, by its outcome; see core/record/outcomes.py.
 * @type {{ [outcome: string]: string }}
 */
const BECAME = { given: "given", partial: "given", "came back": "came back up", spilled: "came back up", held: "held",
  refused: "skipped", missed: "skipped", "not known": "not known" };
const BECAMES = ["given", "came back up", "skipped", "held", "not known"];
/** @type {{ [outcome: string]: string }} */
const OUTCOME_WORDS = { partial: "part of it given", missed: "not given" };
/** @type {(outcome: string) => string} */
export const sayOutcome = (outcome) => OUTCOME_WORDS[outcome] ?? outcome;
const CLAIMS = ["session_started", "session_taken", "session_resumed"];

/** @type {(ml: number) => Amount} */
const exactly = (ml) => ({ low: ml, high: ml });
/** @type {(amounts: Amount[]) => Amount} */
const add = (amounts) => amounts.reduce((sum, one) => ({ low: sum.low + one.low, high: sum.high + one.high }), exactly(0));
/** @type {(amounts: Amount[]) => Amount | null} */
const sum = (amounts) => (amounts.length ? add(amounts) : null);
/**
 * Whether someone has said of all of these that they happened, at once or one beside the next.
 * @type {(same: Entry[], twice: Set<string>[]) => boolean}
 */
function allTold(same, twice) {
  const told = new Set(same.slice(0, 1).map((one) => one.id));
  for (let before = 0; before < told.size;) {
    before = told.size;
    for (const said of twice) {
      const both = same.filter((one) => said.has(one.id));
      if (both.some((one) => told.has(one.id))) for (const one of both) told.add(one.id);
    }
  }
  return same.every((one) => told.has(one.id));
}

/** @type {(same: Entry[], amounts: Amount[], twice: Set<string>[], clashes: Clash[], what: string) => Amount} */
function onceOrTwice(same, amounts, twice, clashes, what) {
  const everything = add(amounts);
  if (amounts.length < 2 || allTold(same, twice)) return everything;
  clashes.push({ what, ids: same.map((one) => one.id) });
  return { low: Math.min(...amounts.map((one) => one.low)), high: everything.high };
}

/**
 * The entries with one key each, in the order of the keys.
 * @type {<K>(list: Entry[], key: (one: Entry) => K) => [K, Entry[]][]}
 */
function groupBy(list, key) {
  const groups = new Map();
  for (const one of list) {
    if (!groups.has(key(one))) groups.set(key(one), []);
    groups.get(key(one)).push(one);
  }
  return [...groups].sort(([one], [other]) => (one < other ? -1 : 1));
}

/** @type {(facts: Entry[], twice: Set<string>[], clashes: Clash[]) => { blend: Amount | null, fills: { number: number, amount: Amount }[] }} */
function readBlend(facts, twice, clashes) {
  const byNumber = groupBy(facts.filter((one) => one.payload.kind === "fill_given"), (one) => one.payload.fill);
  const ended = facts.filter((one) => one.payload.kind === "meal_ended" && one.payload.total_ml !== NOT_KNOWN);
  const closings = ended.filter((one) => one.payload.fills).map((one) => exactly(one.payload.total_ml));
  const afterwards = ended.filter((one) => !one.payload.fills);
  const fills = byNumber.map(([number, same]) => {
    const amounts = same.map((one) => exactly(one.payload.ml));
    return { number, amount: onceOrTwice(same, amounts, twice, clashes, `fill ${number} of the meal`) };
  });
  const said = [...(fills.length ? [add(fills.map((fill) => fill.amount))] : []), ...closings];
  const walked = said.length
    ? { low: Math.min(...said.map((one) => one.low)), high: Math.max(...said.map((one) => one.high)) }
    : null;
  const records = [...(walked ? [walked] : []), ...afterwards.map((one) => exactly(one.payload.total_ml))];
  if (records.length < 2) return { blend: records[0] ?? null, fills };
  let walkers = facts.filter((one) => one.payload.kind === "fill_given");
  if (!walkers.length) walkers = facts.filter((one) => one.payload.kind === "meal_ended" && one.payload.fills);
  return { blend: onceOrTwice([...walkers.slice(0, 1), ...afterwards], records, twice, clashes, "the meal"), fills };
}

/** @type {(facts: Entry[], twice: Set<string>[], clashes: Clash[]) => Amount | null} */
function readFlush(facts, twice, clashes) {
  const bySteps = groupBy(facts.filter((one) => one.payload.kind === "flush_given"), (one) => one.payload.step);
  return sum(bySteps.map(([step, same]) =>
    onceOrTwice(same, same.map((one) => exactly(one.payload.ml)), twice, clashes, `the flush of step ${step}`)));
}

/** @type {(facts: Entry[], twice: Set<string>[], clashes: Clash[]) => DoseRecord[]} */
function readDoses(facts, twice, clashes) {
  const given = groupBy(facts.filter((one) => one.payload.kind === "medicine_given"), (one) => one.payload.medicine);
  return given.map(([medicine, same]) => {
    const giving = same.filter((one) => !NOTHING_WENT_IN.includes(one.payload.outcome));
    if (giving.length > 1 && !allTold(giving, twice)) {
      clashes.push({ what: `the medicine ${medicine}`, ids: giving.map((one) => one.id) });
    }
    const last = (giving.length ? giving : same).at(-1);
    return { medicine, outcome: last.payload.outcome, byName: last.byName, at: last.at, times: giving.length };
  });
}

/** Why a session is paused that nobody paused: somebody decides whether it goes on. */
export const CAME_BACK = "food came back up";

/** @type {(facts: Entry[], now: number, limits: Limits) => [Standing, string | null]} */
function standingOf(facts, now, limits) {
  if (facts.some((one) => one.payload.kind === "session_ended")) return ["ended", null];
  const last = facts.at(-1);
  if (last.payload.kind === "session_stopped") return ["stopped", last.payload.reason];
  if (last.payload.kind === "feeding_locked") return ["stopped", last.told.replace("Feeding is locked: ", "")];
  if (last.payload.kind === "session_skipped") return ["skipped", last.payload.reason];
  if (now - last.at > limits.unfinishedMinutes * MINUTE) return [NOT_KNOWN, null];
  if (last.payload.kind === "came_back") return ["paused", CAME_BACK]; // what comes next is a decision, never the next fill
  return [last.payload.kind === "session_paused" ? "paused" : "in hand", null];
}

/**
 * Two walks of one meal are one question, not one for each step; see core/record/two_walks.py.
 * @type {(clashes: Clash[], facts: Entry[]) => Clash[]}
 */
function onePerWalk(clashes, facts) {
  const known = new Map(facts.map((one) => [one.id, one]));
  const walkers = (/** @type {Clash} */ clash) => {
    const same = clash.ids.map((id) => known.get(id));
    const who = new Set(same.map((one) => one?.by));
    const isStep = same.every((one) => one && ["fill_given", "flush_given"].includes(one.payload.kind));
    return isStep && who.size === same.length ? [...who].sort().join() : "";
  };
  return clashes.flatMap((clash) => {
    const key = walkers(clash);
    const together = key ? clashes.filter((one) => walkers(one) === key) : [];
    if (together.length < 2) return [clash];
    return clash === together[0] ? [{ what: "the walk", ids: together.flatMap((one) => one.ids) }] : [];
  });
}

/**
 * One session from the entries of its animal that count; see core/ledger.read_session.
 * @type {(session: string, counted: Entry[], now: number, limits: Limits) => SessionRecord}
 */
export function readSession(session, counted, now, limits) {
  const mine = counted.filter((one) => one.session === session);
  const facts = mine.filter((one) => one.payload.kind !== "both_given");
  if (!facts.length) {
    return { session, standing: "no entry", stepsDone: [], stepsSkipped: [], fills: [], doses: [], clashes: [],
      blend: null, flush: null, back: null };
  }
  const twice = [
    ...mine.filter((one) => one.payload.kind === "both_given").map((one) => new Set(one.payload.entries)),
    ...mine.filter((one) => one.payload.despite).map((one) => new Set([one.id, ...one.payload.despite])),
  ];
  /** @type {Clash[]} */
  const clashes = [];
  const { blend, fills } = readBlend(facts, twice, clashes);
  const flush = readFlush(facts, twice, clashes);
  const doses = readDoses(facts, twice, clashes);
  const questions = onePerWalk(clashes, facts);
  const reported = facts.filter((one) => one.payload.kind === "came_back");
  const back = sum(reported.map((one) => (one.payload.ml === NOT_KNOWN ? { low: 0, high: Infinity } : exactly(one.payload.ml))));
  if (back && back.high === Infinity) back.high = Math.max(back.low, blend ? blend.high : 0);
  const [standing, reason] = standingOf(facts, now, limits);
  const claims = facts.filter((one) => CLAIMS.includes(one.payload.kind));
  const holder = claims.at(-1) ?? facts.at(-1);
  const of = (/** @type {EntryKind[]} */ ...kinds) => facts.filter((one) => kinds.includes(one.payload.kind)).map((one) => one.payload.step);
  return {
    session, standing, reason, blend, flush, back, fills, doses, clashes: questions,
    startedByName: facts[0].byName, startedAt: facts[0].at,
    heldBy: holder.by, heldByName: holder.byName,
    lastAt: facts.at(-1).at, lastByName: facts.at(-1).byName,
    stepsDone: [...new Set(of("step_done", "flush_given"))], stepsSkipped: [...new Set(of("step_skipped"))],
  };
}

/**
 * What became of a session that is over: given only where something went in.
 * @type {(record: SessionRecord) => string}
 */
export function readEnded(record) {
  const wentIn = record.doses.map((dose) => BECAME[dose.outcome]);
  if (record.blend && record.blend.high > 0) return record.back ? "came back up" : "given";
  for (const became of ["given", "came back up"]) if (wentIn.includes(became)) return became;
  if (record.stepsSkipped.length) wentIn.push("skipped");
  if (!wentIn.length) return record.flush || record.stepsDone.length ? "given" : NOT_KNOWN;
  return ["not known", "held", "skipped"].find((became) => wentIn.includes(became)) ?? NOT_KNOWN;
}

/**
 * How many doses of a session became what, in words: "2 medicines", "1 medicine held".
 * @type {(record: SessionRecord) => string[]}
 */
export function sayDoses(record) {
  const found = record.doses.map((dose) => BECAME[dose.outcome]);
  return BECAMES.flatMap((became) => {
    const count = found.filter((one) => one === became).length;
    const words = `${count} medicine${count === 1 ? "" : "s"}`;
    return count ? [became === "given" ? words : `${words} ${became}`] : [];
  });
}

/**
 * The bottle in use of each medicine: the one opened last, by the record and by what the page was made with.
 * @type {(facts: Facts, entries: Entry[]) => { [medicine: string]: Bottle }}
 */
export function bottlesInUse(facts, entries) {
  /** @type {{ [medicine: string]: Bottle }} */
  const found = {};
  const shown = showEntries(entries);
  for (const { one } of shown.filter(({ counts }) => counts)) {
    const { kind, medicine, strength } = one.payload;
    if (kind === "bottle_opened") found[medicine] = { id: one.id, at: one.at, strength, byName: one.byName };
  }
  for (const { id, bottle } of facts.medicines ?? []) {
    const here = found[id];
    const isTakenBack = here && shown.some((one) => !one.isVoid && one.aim === bottle?.id);
    if (bottle && !isTakenBack && !(here && (here.at > bottle.at || (here.at === bottle.at && here.id >= bottle.id)))) found[id] = bottle;
  }
  return found;
}

/**
 * The medicines of which nothing is drawn: the bottle in use has another strength than the page's plan.
 * @type {(facts: Facts, entries: Entry[]) => Set<string>}
 */
export function lockedByStrength(facts, entries) {
  const bottles = bottlesInUse(facts, entries);
  const isOther = (/** @type {MedicineFacts} */ { id, form, strength }) => {
    if (!bottles[id]) return false;
    const [planned, printed] = [strengthOf(strength, form), strengthOf(bottles[id].strength, form)];
    return !planned || !printed || !isSameStrength(planned, printed);
  };
  return new Set((facts.medicines ?? []).filter(isOther).map((one) => one.id));
}

/**
 * Whether the record says what became of a step of the plan.
 * @type {(step: StepFacts, record: SessionRecord) => boolean}
 */
export function isBehind(step, record) {
  if (record.stepsDone.includes(step.id) || record.stepsSkipped.includes(step.id)) return true;
  if (step.fill) return record.fills.some((fill) => fill.number === step.fill);
  return Boolean(step.medicine) && record.doses.some((dose) => dose.medicine === step.medicine);
}

const DAY = 86_400_000;
/** @type {(day: string, count: number) => string} */
export const plusDays = (day, count) => new Date(Date.parse(`${day}T12:00:00Z`) + count * DAY).toISOString().slice(0, 10);

/**
 * The household's day that a local time falls in, written as sessions are: before the start hour it is still yesterday.
 * @type {(key: string, dayStarts: string) => string}
 */
export const householdDay = (key, dayStarts) => (key.slice(11) < dayStarts ? plusDays(key.slice(0, 10), -1) : key.slice(0, 10));

/** @type {(view: SessionView) => boolean} */
const isTaken = (view) => ["in hand", "paused"].includes(view.record.standing);

/**
 * The newest word about when a session comes today, with the entry that holds it; see core/new_times.newest_times.
 * @type {(session: string, counted: Entry[]) => { id: string, at: number, mealMl: number | null } | null}
 */
export function newestTime(session, counted) {
  let found = null;
  for (const one of counted) {
    if (one.payload.kind !== "day_replanned") continue;
    const word = one.payload.sessions.find((/** @type {{ session: string }} */ each) => each.session === session);
    if (word) found = { id: one.id, at: Date.parse(word.at), mealMl: word.meal_ml };
  }
  return found;
}

/**
 * A planned session as it comes today; `time` is written as sessions are named.
 * @type {(one: SessionFacts, counted: Entry[], zone: string) => SessionFacts & { time: string }}
 */
function asItComes(one, counted, zone) {
  const word = newestTime(one.key, counted);
  if (!word) return { ...one, time: one.key };
  return { ...one, at: word.at, mealMl: word.mealMl ?? one.mealMl, time: sessionKey(word.at, zone) };
}

/**
 * The sessions around now, and which is next and which was last; see services/sessions.next_and_last.
 * @type {(facts: Facts, entries: Entry[], now: number) => { views: SessionView[], next: SessionView | null, last: SessionView | null, counted: Entry[] }}
 */
export function nextAndLast(facts, entries, now) {
  const known = new Map([...(facts.replanned ?? []), ...entries].map((one) => [one.id, one]));
  const counted = counting([...known.values()]);
  const planned = new Map(facts.sessions.map((one) => [one.key, asItComes(one, counted, facts.zone)]));
  const keys = new Set([...planned.keys(), ...counted.flatMap((one) => one.session ?? [])]);
  const views = [...keys].map((key) => ({
    key, time: planned.get(key)?.time ?? key, planned: planned.get(key) ?? null,
    record: readSession(key, counted, now, facts.limits),
  })).sort((one, other) => (`${one.time} ${one.key}` < `${other.time} ${other.key}` ? -1 : 1));
  const place = nextPlace(views, now, facts);
  const before = place === null ? views : views.slice(0, place);
  return { views, next: place === null ? null : views[place], last: before.at(-1) ?? null, counted };
}

/** @type {(views: SessionView[], now: number, facts: Facts) => number | null} */
function nextPlace(views, now, facts) {
  const inHand = views.findLastIndex(isTaken);
  if (inHand >= 0) return inHand;
  const behind = views.findLastIndex((view) => view.record.standing !== "no entry");
  const lastDue = views.findLastIndex((view) => view.time <= sessionKey(now, facts.zone));
  const earliest = sessionKey(now - facts.limits.staysNextMinutes * MINUTE, facts.zone);
  if (lastDue > behind && views[lastDue].time >= earliest) return lastDue;
  const first = Math.max(behind, lastDue) + 1;
  return first < views.length ? first : null;
}

/** @type {(at: number, zone: string) => { [part: string]: string }} */
function parts(at, zone) {
  const format = new Intl.DateTimeFormat("en-GB", { timeZone: zone, hourCycle: "h23", year: "numeric", month: "2-digit",
    day: "2-digit", hour: "2-digit", minute: "2-digit" });
  return Object.fromEntries(format.formatToParts(at).map((part) => [part.type, part.value]));
}

/**
 * A local time of day as sessions are named, so that both sort together.
 * @type {(at: number, zone: string) => string}
 */
export function sessionKey(at, zone) {
  const { year, month, day, hour, minute } = parts(at, zone);
  return `${year}-${month}-${day}T${hour}:${minute}`;
}

/** @type {(at: number, zone: string) => string} */
export function clock(at, zone) {
  const { hour, minute } = parts(at, zone);
  return `${hour}:${minute}`;
}

// Words, as web/words.py says them.

/** @type {(ml: number) => string} */
export const number = (ml) => writeNumber(fromNumber(ml));
/** @type {(amount: Amount) => string} */
const range = (amount) => (amount.low === amount.high ? number(amount.low) : `${number(amount.low)} to ${number(amount.high)}`);

/** @type {(record: SessionRecord, plannedMl: number | null | undefined) => string} */
function sayIn(record, plannedMl) {
  if (!record.blend) return plannedMl ? `0 of ${number(plannedMl)} mL recorded` : "";
  return plannedMl ? `${range(record.blend)} of ${number(plannedMl)} mL in` : `${range(record.blend)} mL in`;
}

/** @type {(record: SessionRecord, plannedMl: number | null | undefined) => string} */
function sayBack(record, plannedMl) {
  if (record.back) {
    return record.back.low === record.back.high ? `${number(record.back.low)} mL came back` : "some came back, how much is not known";
  }
  const isWhole = record.fills.length && record.blend && record.blend.low >= (plannedMl || 0);
  return record.standing === "ended" && isWhole ? "nothing seen coming back" : "";
}

/**
 * What became of one session, in one line.
 * @type {(record: SessionRecord, plannedMl: number | null | undefined, zone: string) => string}
 */
export function saySession(record, plannedMl, zone) {
  const by = record.lastByName ? `by ${record.lastByName}` : "";
  const wentIn = sayIn(record, plannedMl);
  const back = sayBack(record, plannedMl);
  const said = {
    "no entry": ["No entry. Nobody wrote down whether it was given."],
    skipped: [`Left out ${by}`, record.reason],
    stopped: [`Stopped ${by}`, record.reason, wentIn, back],
    "not known": [`Begun by ${record.startedByName}`, wentIn, back, `no entry since ${clock(record.lastAt ?? 0, zone)}`,
      "what became of it is not known"],
    "in hand": [`${record.heldByName} has it, since ${clock(record.startedAt ?? 0, zone)}`, wentIn, back],
    paused: [record.reason ? "Food came back up" : `Paused ${by} at ${clock(record.lastAt ?? 0, zone)}`, wentIn, back],
    ended: [by, wentIn, back],
  }[record.standing];
  return said.filter(Boolean).join(" · ");
}

/** @type {(day: string) => string} */
export const dayInWords = (day) => new Date(`${day}T12:00:00Z`).toLocaleDateString("en-GB", { day: "numeric", month: "long", timeZone: "UTC" });

/**
 * A length of time in whole minutes: "18 minutes", "2 hours 5 minutes".
 * @type {(millis: number) => string}
 */
export function saySpan(millis) {
  const minutes = Math.max(0, Math.round(millis / MINUTE));
  const many = (/** @type {number} */ count, /** @type {string} */ word) => (count ? [`${count} ${word}${count === 1 ? "" : "s"}`] : []);
  return [...many(Math.floor(minutes / 60), "hour"), ...many(minutes % 60, "minute")].join(" ") || "less than a minute";
}

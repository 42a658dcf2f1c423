// The gate of an act on the phone: what the record, the plan and the clock say against a start, a fill or a dose, before it is
// done. The same answers as core/gates/act_gate.py gives; tests/scripts/test_gate.py holds both to the same histories.
import { batchInUse } from "./batches.js";
import { NOTHING_WENT_IN, NOT_KNOWN, bottlesInUse, clock, counting, dayInWords, householdDay, isBehind, isLocked, lockedByStrength,
  nextAndLast,
  number, plusDays, readSession, saySpan, sessionKey } from "./record.js";
import { anotherDose, moreThanPlanned } from "./as_planned.js";
import { agrees } from "../second_check/agrees.js";

const MINUTE = 60_000, HOUR = 3_600_000, HAIR_ML = 1e-6;
const GOES_IN = ["fill_given", "flush_given", "meal_ended"];

/** @type {(one: Entry) => boolean} */
const isDose = ({ payload }) => payload.kind === "medicine_given" && !NOTHING_WENT_IN.includes(payload.outcome);
/** @type {(amount: number) => string} */
const ml = (amount) => number(Math.floor(amount * 10 + 0.5) / 10);
/** @type {(text: string) => string} */
const capital = (text) => text[0].toUpperCase() + text.slice(1);

/**
 * A time of day, with its date where that is another one than that of the time beside it; see core/values/words.say_time.
 * @type {(at: number, zone: string, beside: number) => string}
 */
export function sayTime(at, zone, beside) {
  const [day, time] = sessionKey(at, zone).split("T");
  return day === sessionKey(beside, zone).slice(0, 10) ? time : `${time} on ${dayInWords(day)}`;
}

/** @type {(facts: Facts, code: string, because: string, at: number, more?: Partial<Finding> & { ask?: string }) => Finding} */
function asked(facts, code, because, at, { freeAt = null, despite = [], about = "", ask = "" } = {}) {
  const until = freeAt === null ? "" : ` Not before ${sayTime(/** @type {number} */ (freeAt), facts.zone, at)}.`;
  return { code, weight: "asked", text: `${capital(because)}.${until}${ask}`, freeAt, despite, about };
}

// Meals

/** @type {(one: Entry, feed: FeedFacts) => boolean} */
const goesIn = (one, feed) => (one.payload.kind === "medicine_given" ? isDose(one) && one.payload.medicine in feed.waterMl : GOES_IN.includes(one.payload.kind));
/** @type {(one: Entry, feed: FeedFacts) => number} */
function doseMl(one, feed) {
  if (one.payload.kind !== "medicine_given" || !goesIn(one, feed)) return 0;
  return one.payload.ml === undefined ? feed.waterMl[one.payload.medicine] : Number(one.payload.ml);
}
/** @type {(session: string, mine: Entry[], facts: Facts, now: number) => number} */
function keptMl(session, mine, facts, now) {
  const { blend, flush, back } = readSession(session, mine, now, facts.limits);
  const doses = mine.reduce((sum, one) => sum + doseMl(one, /** @type {ActFacts} */ (facts.acts).feed), 0);
  return Math.max(0, (blend?.high ?? 0) + (flush?.high ?? 0) + doses - (back?.low ?? 0));
}

/**
 * Every meal that went in or may have, oldest first.
 * @type {(counted: Entry[]) => { session: string, at: number, byName: string }[]}
 */
export function findMeals(counted) {
  const found = new Map();
  for (const { payload, at, byName } of counted) {
    if (!["fill_given", "meal_ended"].includes(payload.kind) || found.has(payload.session)) continue;
    const amount = payload.kind === "fill_given" ? payload.ml : payload.total_ml;
    if (amount === NOT_KNOWN || amount > 0) found.set(payload.session, { session: payload.session, at, byName });
  }
  return [...found.values()];
}

/** @type {(facts: Facts, counted: Entry[], session: string, at: number, now: number) => { beforeMl: number, ownMl: number, newestAt: number | null, freeAt: number | null }} */
function readStomach(facts, counted, session, at, now) {
  const { feed } = /** @type {ActFacts} */ (facts.acts);
  const gap = feed.gapMinutes * MINUTE;
  const bySession = new Map();
  for (const one of counted) {
    const name = one.session ?? "";
    if (!bySession.has(name)) bySession.set(name, []);
    bySession.get(name).push(one);
  }
  /** @type {[first: number, last: number, ml: number][]} */
  const inside = [];
  for (const [name, mine] of bySession) {
    if (name === session || !name) continue;
    const wentIn = mine.filter((/** @type {Entry} */ one) => goesIn(one, feed));
    if (wentIn.length && wentIn[0].at > at - gap) inside.push([wentIn[0].at, wentIn.at(-1).at, keptMl(name, mine, facts, now)]);
  }
  let back = 0;
  for (const one of bySession.get("") ?? []) {
    if (one.at <= at - gap) continue;
    if (goesIn(one, feed)) inside.push([one.at, one.at, doseMl(one, feed)]);
    if (one.payload.kind === "came_back" && one.payload.ml !== NOT_KNOWN) back += one.payload.ml;
  }
  const counts = inside.filter((one) => one[2] > 0);
  return {
    beforeMl: Math.max(0, inside.reduce((sum, one) => sum + one[2], 0) - back),
    ownMl: keptMl(session, bySession.get(session) ?? [], facts, now),
    newestAt: counts.length ? Math.max(...counts.map((one) => one[1])) : null,
    freeAt: counts.length ? Math.max(...counts.map((one) => one[0])) + gap : null,
  };
}

/** @type {(counted: Entry[], session: string) => { reason: string, byName: string, at: number } | null} */
function newestReason(counted, session) {
  const one = counted.findLast(({ payload }) => ["session_started", "fill_given"].includes(payload.kind) && payload.session === session && payload.reason);
  return one ? { reason: one.payload.reason, byName: one.byName, at: one.at } : null;
}

/** @type {(facts: Facts, counted: Entry[], payload: Payload, at: number, now: number) => Finding[]} */
function aboutTheMeal(facts, counted, payload, at, now) {
  const acts = /** @type {ActFacts} */ (facts.acts);
  const { feed } = acts, planned = acts.sessions[payload.session];
  if (payload.kind === "session_started" && !planned?.mealMl) return [];
  /** @type {Finding[]} */
  const found = planned?.overCap ? [{ code: "over-cap", ...planned.overCap, freeAt: null, despite: [], about: "" }] : [];
  const gap = feed.gapMinutes * MINUTE;
  const meals = findMeals(counted).filter((meal) => meal.session !== payload.session && Math.abs(at - meal.at) < gap);
  const inside = readStomach(facts, counted, payload.session, at, now);
  const nowMl = payload.kind === "fill_given" ? payload.ml : planned?.totalMl ?? 0;
  if (!payload.reason) {
    const said = newestReason(counted, payload.session);
    /** @type {(finding: Finding, since: number) => void} */
    const add = (finding, since) => {
      const isAnswered = said && said.at >= since;
      found.push(isAnswered ? { ...finding, weight: "said", text: `${finding.text} ${said.byName}: "${said.reason}"` } : finding);
    };
    const others = findMeals(counted).filter((meal) => meal.session !== payload.session && meal.at <= at && at - meal.at < feed.dayMinutes * MINUTE);
    if (meals.length) {
      const last = meals.reduce((one, other) => (other.at > one.at ? other : one));
      add(asked(facts, "meal-too-soon", `the last meal began at ${sayTime(last.at, facts.zone, at)} (${last.byName}) and ${feed.gapWords}`, at,
        { freeAt: last.at + gap, ask: feed.gapAsk }), last.at);
    }
    if (feed.mealsADay && others.length >= feed.mealsADay) {
      add(asked(facts, "meals-a-day", `${others.length} meals went in since ${sayTime(others[0].at, facts.zone, at)}, and a day has ${feed.mealsADay}`, at,
        { freeAt: others[others.length - feed.mealsADay].at + feed.dayMinutes * MINUTE }), /** @type {any} */ (others.at(-1)).at);
    }
    const totalMl = inside.beforeMl + inside.ownMl + nowMl;
    const mostMl = planned?.mostMl ?? feed.mostMl;
    if (mostMl !== null && inside.newestAt !== null && totalMl > mostMl + HAIR_ML) {
      add(asked(facts, "over-cap-together", `${ml(inside.beforeMl)} mL went in before it and ${ml(inside.ownMl + nowMl)} mL with it, together `
        + `${ml(totalMl / feed.weightKg)} mL/kg, and the vet's most at once is ${ml(mostMl / feed.weightKg)} mL/kg`, at, { freeAt: inside.freeAt }), inside.newestAt);
    }
  }
  return [...found, ...foodTooSoon(facts, counted, at)];
}

/**
 * More than is still in: saliva, an older meal, or a slip of the finger.
 * @type {(facts: Facts, counted: Entry[], payload: Payload, at: number, now: number) => Finding[]}
 */
function moreCameBack(facts, counted, payload, at, now) {
  if (payload.reason || !payload.session || payload.ml === NOT_KNOWN) return [];
  const ownMl = keptMl(payload.session, counted.filter((one) => one.session === payload.session), facts, now);
  if (payload.ml <= ownMl + HAIR_ML) return [];
  return [asked(facts, "more-came-back", `${ml(payload.ml)} mL is more than the ${ml(ownMl)} mL of this session that are still in`, at)];
}

/** @type {(facts: Facts, counted: Entry[], at: number) => Finding[]} */
function foodTooSoon(facts, counted, at) {
  const { feed, doses } = /** @type {ActFacts} */ (facts.acts);
  /** @type {{ [medicine: string]: number }} */
  const newest = {};
  for (const one of counted) if (isDose(one) && one.at <= at) newest[one.payload.medicine] = one.at;
  return Object.entries(feed.beforeFood).flatMap(([medicine, minutes]) => {
    const freeAt = (newest[medicine] ?? -Infinity) + minutes * MINUTE;
    if (at >= freeAt) return [];
    return [{ code: "before-food", weight: /** @type {Weight} */ ("said"), about: medicine, freeAt, despite: [],
      text: `${doses[medicine].name} went in at ${sayTime(newest[medicine], facts.zone, at)} and belongs ${number(minutes)} minutes before food: `
        + `not before ${sayTime(freeAt, facts.zone, at)}.` }];
  });
}

// Doses

/** @type {(rules: DoseRules, day: string) => Rhythm} */
const rhythmOn = (rules, day) => /** @type {Rhythm} */ (rules.rhythms.findLast((one) => one.fromOn === null || one.fromOn <= day));
/** @type {(rules: DoseRules, one: string, other: string) => number} */
const gapBetween = (rules, one, other) => Math.min(rhythmOn(rules, one).gapMinutes, rhythmOn(rules, other).gapMinutes) * MINUTE;

/** @type {(rules: DoseRules, day: string) => [code: string, because: string][]} */
function againstTheOrder({ name, held, startOn, stopOn }, day) {
  if (held !== null) return [["held", `${name} is on hold: ${held.replace(/\.+$/, "")}`]];
  if (startOn !== null && day < startOn) return [["not-started", `${name} starts on ${dayInWords(startOn)}`]];
  return stopOn !== null && day > stopOn ? [["course-ended", `The last day of ${name} was ${dayInWords(stopOn)}`]] : [];
}

/** @type {(day: string, months: number) => string} */
function monthsLater(day, months) {
  const [year, month, date] = day.split("-").map(Number);
  const last = new Date(Date.UTC(year, month + months, 0)).getUTCDate();
  return new Date(Date.UTC(year, month - 1 + months, Math.min(date, last))).toISOString().slice(0, 10);
}

/**
 * The last day of use of a bottle: the page's, or of one opened since, by its label or by print.
 * @type {(facts: Facts, bottle: Bottle, entries: Entry[]) => string | null}
 */
function lastUse(facts, bottle, entries) {
  if (bottle.until !== undefined) return bottle.until;
  const label = /** @type {Entry} */ (entries.find((one) => one.id === bottle.id)).payload;
  const printed = [label.discard_on, label.expires_on].filter(Boolean).sort();
  if (printed.length) return printed[0];
  const rule = /** @type {ActFacts} */ (facts.acts).keepsAs[label.keeps_as];
  if (!rule) return null;
  const begun = label.filled_on ?? sessionKey(bottle.at, facts.zone).slice(0, 10);
  return rule.days === undefined ? plusDays(monthsLater(begun, /** @type {number} */ (rule.months)), -1) : plusDays(begun, rule.days - 1);
}

/** @type {(facts: Facts, entries: Entry[], medicine: string, at: number) => [code: string, because: string][]} */
function againstTheBottle(facts, entries, medicine, at) {
  const before = entries.filter((one) => one.at <= at || one.payload.kind !== "bottle_opened");
  const bottle = bottlesInUse(facts, before)[medicine];
  const order = facts.medicines?.find((one) => one.id === medicine);
  if (!bottle || !order) return [];
  /** @type {[code: string, because: string][]} */
  const found = [];
  if (lockedByStrength(facts, before).has(medicine)) {
    found.push(["locked", `the bottle opened by ${bottle.byName} says ${bottle.strength} and ${order.strength ? `the plan says ${order.strength}` : "the plan states no strength"}`]);
  }
  const until = lastUse(facts, bottle, entries);
  if (until && sessionKey(at, facts.zone).slice(0, 10) > until) found.push(["past-use", `the last day of use of its bottle was ${dayInWords(until)}`]);
  return found;
}

/** @type {(facts: Facts, rules: DoseRules, taken: Entry[], at: number, day: string) => Finding[]} */
function againstItsDoses(facts, rules, taken, at, day) {
  const gapTo = (/** @type {Entry} */ one) => gapBetween(rules, one.day, day);
  const close = taken.filter((one) => Math.abs(one.at - at) < gapTo(one));
  const found = [];
  if (close.length) {
    const told = close.map((one) => `${one.payload.given_by ?? one.byName} ${one.payload.outcome === "given" ? "gave it" : `wrote "${one.payload.outcome}"`} at ${sayTime(one.at, facts.zone, at)}`);
    const widest = Math.max(...close.map(gapTo));
    found.push(asked(facts, "too-soon", `${told.join(" and ")}, and at least ${saySpan(widest)} lie between two doses`, at,
      { freeAt: Math.max(...close.map((one) => one.at + gapTo(one))), despite: close.map((one) => one.id) }));
  }
  const { most, mostMinutes } = rhythmOn(rules, day);
  if (most === null) return found;
  const span = /** @type {number} */ (mostMinutes) * MINUTE;
  const ends = [at, ...taken.map((one) => one.at).filter((other) => at < other && other < at + span)];
  const days = ends.map((end) => taken.filter((one) => end - span < one.at && one.at <= end));
  const together = days.reduce((fullest, one) => (one.length > fullest.length ? one : fullest));
  if (together.length < most) return found;
  found.push(asked(facts, "over-maximum", `${together.length} are recorded within 24 hours, and ${most} is the most`, at,
    { freeAt: together[together.length - most].at + span, despite: together.map((one) => one.id) }));
  return found;
}

/** @type {(facts: Facts, rules: DoseRules, counted: Entry[], at: number) => Finding[]} */
function againstOthers(facts, rules, counted, at) {
  const { doses } = /** @type {ActFacts} */ (facts.acts);
  const found = Object.entries(rules.apart).flatMap(([other, hours]) => {
    const near = counted.findLast((one) => isDose(one) && one.payload.medicine === other && Math.abs(one.at - at) < hours * HOUR);
    return near ? [asked(facts, "keep-apart", `${doses[other].name} was given at ${sayTime(near.at, facts.zone, at)} and ${saySpan(hours * HOUR)} belong between them`, at,
      { freeAt: near.at + hours * HOUR })] : [];
  });
  if (rules.afterFood === null) return found;
  const meal = counted.findLast(({ payload, at: other }) => ["fill_given", "meal_ended"].includes(payload.kind) && other <= at);
  const freeAt = meal ? meal.at + rules.afterFood * MINUTE : 0;
  return at < freeAt ? [...found, asked(facts, "after-food", `it needs an empty stomach, ${number(rules.afterFood)} minutes after food`, at, { freeAt })] : found;
}

/**
 * The instants of a planned dose; a page tells them as minutes from its session.
 * @type {(rules: SessionRules | undefined, medicine: string) => DueDose | null}
 */
function dueOf(rules, medicine) {
  if (!rules?.doses[medicine]) return null;
  const { drawn, ordered, ...minutes } = rules.doses[medicine];
  return /** @type {any} */ (Object.fromEntries(Object.entries(minutes).map(([name, off]) => [name, rules.at + off * MINUTE])));
}

/** @type {(facts: Facts, payload: Payload, at: number) => Finding[]} */
function offItsTime(facts, payload, at) {
  const acts = /** @type {ActFacts} */ (facts.acts);
  const due = dueOf(acts.sessions[payload.session], payload.medicine);
  if (!due) return [];
  const planned = sayTime(acts.sessions[payload.session].at, facts.zone, at);
  if (at < due.earlyUntil) return [asked(facts, "early", `it is planned for ${planned}`, at, { freeAt: due.earlyUntil })];
  if (at <= due.dueUntil) return [];
  const isAfter = (/** @type {number | undefined} */ end) => end !== undefined && at > end;
  if (isAfter(due.tooCloseAfter) || isAfter(due.tooLateAfter)) {
    const following = due.following === undefined ? "" : ` and the next is due at ${sayTime(due.following, facts.zone, at)}`;
    return [asked(facts, "too-late", `it was planned for ${planned}, too long ago${following}`, at)];
  }
  return isAfter(due.askAfter) ? [asked(facts, "late", `it was planned for ${planned}, more than ${number(acts.lateHours)} hours ago`, at)] : [];
}

/** @type {(facts: Facts, payload: Payload, counted: Entry[], at: number, by: string) => [code: string, because: string][]} */
function secondCheckMissing(facts, payload, counted, at, by) {
  const acts = /** @type {ActFacts} */ (facts.acts);
  if (!acts.doses[payload.medicine].secondCheck) return [];
  const drawn = acts.sessions[payload.session]?.doses[payload.medicine]?.drawn ?? acts.doses[payload.medicine].drawn;
  const read = drawn && counted.findLast(({ payload: check, at: readAt, by: writer }) => {
    if (check.kind !== "second_check" || check.medicine !== payload.medicine || (check.reader ?? writer) === by) return false;
    if (payload.session && check.session) return check.session === payload.session;
    return Math.abs(readAt - at) <= acts.checkMinutes * MINUTE;
  });
  if (!read) return [["not-checked", "the plan asks for a second person to read the syringe, and nobody else has"]];
  if (agrees(read.payload, drawn)) return [];
  const { ml: readMl, pieces, reader_name: reader } = read.payload;
  const words = readMl !== undefined ? `${number(readMl)} mL` : `${number(pieces)} ${drawn.piece ?? "piece"}${Number(pieces) === 1 ? "" : "s"}`;
  return [["not-checked", `${reader ?? read.byName} read ${words} as the second person, which is not the dose`]];
}

/** @type {(facts: Facts, entries: Entry[], counted: Entry[], act: Act) => Finding[]} */
function aboutTheDose(facts, entries, counted, { payload, at, day, by }) {
  const rules = /** @type {ActFacts} */ (facts.acts).doses[payload.medicine];
  if (!rules || NOTHING_WENT_IN.includes(payload.outcome) || payload.reason) return [];
  const simple = (/** @type {[code: string, because: string][]} */ all) => all.map(([code, because]) => asked(facts, code, because, at));
  const taken = counted.filter((one) => isDose(one) && one.payload.medicine === payload.medicine);
  const found = [
    ...simple(againstTheOrder(rules, day)), ...simple(againstTheBottle(facts, entries, payload.medicine, at)),
    ...againstItsDoses(facts, rules, taken, at, day), ...againstOthers(facts, rules, counted, at),
    ...offItsTime(facts, payload, at), ...simple(secondCheckMissing(facts, payload, counted, at, by)),
    ...simple(anotherDose(/** @type {ActFacts} */ (facts.acts), payload)),
  ];
  return found.map((one) => ({ ...one, about: payload.medicine }));
}

// The gate

/**
 * Whether the session before the next one was stopped: nothing is started until someone has cleared it.
 * @type {(facts: Facts, entries: Entry[], now: number) => boolean}
 */
function isStopped(facts, entries, now) {
  const since = plusDays(householdDay(sessionKey(now, facts.zone), facts.dayStarts), -1);
  const sessions = facts.sessions.filter((one) => householdDay(one.key, facts.dayStarts) >= since);
  return nextAndLast({ ...facts, sessions }, entries.filter((one) => one.day >= since), now).last?.record.standing === "stopped";
}

/** @type {(facts: Facts, entries: Entry[], counted: Entry[], act: Act, now: number) => Finding[]} */
function refusals(facts, entries, counted, { payload, by }, now) {
  if (!payload.session) return [];
  const record = readSession(payload.session, counted, now, facts.limits);
  const inHand = record.standing === "in hand";
  const otherRoute = payload.kind === "medicine_given" && !(/** @type {ActFacts} */ (facts.acts).doses[payload.medicine]?.isByTube);
  const refused = (/** @type {string} */ code) => ({ code, weight: /** @type {Weight} */ ("refused"), text: "", freeAt: null, despite: [], about: "" });
  const found = [];
  const goesOn = payload.kind === "session_started" || (inHand && ["fill_given", "medicine_given"].includes(payload.kind) && !otherRoute);
  if (goesOn && isLocked(facts, entries)) found.push(refused("feeding-locked"));
  if (payload.kind === "session_started" && isStopped(facts, entries, now)) found.push(refused("already-recorded"));
  const isOthers = inHand && record.heldBy !== by && payload.kind !== "session_started";
  const step = { id: "", fill: payload.fill ?? null, medicine: payload.medicine ?? null };
  const isHeld = (/** @type {DoseRecord} */ dose) => record.standing === "ended" && !NOTHING_WENT_IN.includes(payload.outcome) && dose.outcome === "held";
  const known = { ...record, doses: record.doses.filter((dose) => !isHeld(dose)) };
  const fits = { session_started: ["no entry"], fill_given: ["in hand"], medicine_given: ["in hand", "no entry", "ended"], meal_ended: ["in hand", "no entry"] }[/** @type {string} */ (payload.kind)];
  if (fits && isOthers) found.push(refused("held-by-another"));
  else if (fits && (!fits.includes(record.standing) || (payload.kind !== "session_started" && isBehind(/** @type {any} */ (step), known)))) found.push(refused("already-recorded"));
  if (payload.kind === "fill_given" && inHand && batchInUse(facts, entries, now)?.faults.length) found.push(refused("batch-not-to-be-given"));
  return found;
}

/** @type {Weight[]} */
const HEAVIEST_FIRST = ["refused", "needs a word of the vet", "asked", "said"];

/**
 * Everything known that speaks against an act, the heaviest first; see core/gates/act_gate.check_act.
 * @type {(facts: Facts, entries: Entry[], act: Act, now: number) => Finding[]}
 */
export function checkAct(facts, entries, act, now) {
  if (!facts.acts) return [];
  const counted = counting(entries);
  const { payload, at } = act;
  const found = refusals(facts, entries, counted, act, now);
  if (["session_started", "fill_given"].includes(payload.kind)) found.push(...aboutTheMeal(facts, counted, payload, at, now));
  if (payload.kind === "came_back") found.push(...moreCameBack(facts, counted, payload, at, now));
  found.push(...moreThanPlanned(facts.acts, payload).map(([code, because]) => asked(facts, code, because, at)));
  if (payload.kind === "medicine_given") found.push(...aboutTheDose(facts, entries, counted, act));
  return HEAVIEST_FIRST.flatMap((weight) => found.filter((one) => one.weight === weight));
}

/**
 * What a press at an instant would do.
 * @type {(facts: Facts, payload: Payload, at: number) => Act}
 */
export const actOf = (facts, payload, at) => ({ payload, at, by: facts.me, day: householdDay(payload.session ?? sessionKey(at, facts.zone), facts.dayStarts) });

/**
 * What speaks against a session before its first step; see core/gates/act_gate.look_ahead.
 * @type {(facts: Facts, entries: Entry[], session: string, now: number) => Finding[]}
 */
export function lookAhead(facts, entries, session, now) {
  if (!facts.acts) return [];
  const { doses, sessions } = facts.acts;
  const start = checkAct(facts, entries, actOf(facts, { kind: "session_started", session }, now), now);
  const later = Object.keys(sessions[session]?.doses ?? {}).filter((medicine) => !sessions[session].held?.includes(medicine)).flatMap((medicine) =>
    aboutTheDose(facts, entries, counting(entries), actOf(facts, { kind: "medicine_given", session, medicine, outcome: "given" }, now))
      .filter((one) => one.code !== "not-checked")
      .map((one) => ({ ...one, weight: /** @type {Weight} */ ("said"), text: `${doses[medicine].name}: ${one.text}` })));
  return [...start, ...later];
}

/**
 * The doses whose session is behind and of which nobody has written what became; see core/gates/open_doses.py.
 * @type {(facts: Facts, views: SessionView[], next: SessionView | null, now: number) => OpenDose[]}
 */
export function openDoses(facts, views, next, now) {
  if (!facts.acts) return [];
  const { sessions, doses } = facts.acts;
  return views.flatMap((view) => {
    const rules = sessions[view.key];
    if (!rules || (view.planned?.at ?? rules.at) > now || view === next || !["no entry", "ended"].includes(view.record.standing)) return [];
    return Object.keys(rules.doses).flatMap((medicine) => {
      const due = dueOf(rules, medicine);
      if (!due || rules.shut?.includes(medicine)) return [];
      const mine = view.record.doses.find((dose) => dose.medicine === medicine);
      const isAfter = (/** @type {number | undefined} */ end) => end !== undefined && now > end;
      const isOver = isAfter(due.tooLateAfter) || (now > due.dueUntil && isAfter(due.tooCloseAfter));
      if (isOver || (mine && mine.outcome !== "held") || view.record.stepsSkipped.includes(`medicine-${medicine}`)) return [];
      const ends = [due.tooLateAfter, due.tooCloseAfter].filter((end) => end !== undefined);
      return [{ session: view.key, time: view.time.slice(11), medicine, name: doses[medicine].name, isHeld: Boolean(mine),
        until: ends.length ? Math.min(.../** @type {number[]} */ (ends)) : null }];
    });
  });
}

// What stands on the draw screen

/**
 * When the last meal of another session began, and when the next may begin; see core/gates/last_giving.say_last_meal.
 * @type {(facts: Facts, entries: Entry[], session: string | null, now: number) => string}
 */
export function sayLastMeal(facts, entries, session, now) {
  const { feed } = /** @type {ActFacts} */ (facts.acts);
  const last = findMeals(counting(entries)).filter((meal) => meal.session !== session).reduce((/** @type {any} */ one, meal) => (one && one.at > meal.at ? one : meal), null);
  if (!last) return "No meal in the record since yesterday.";
  const told = `Last meal ${sayTime(last.at, facts.zone, now)}, ${last.byName}`;
  return feed.gapMinutes ? `${told} · earliest next ${sayTime(last.at + feed.gapMinutes * MINUTE, facts.zone, now)}` : told;
}

/**
 * When a medicine was last given, and when the next may be; see core/gates/last_giving.say_last_dose.
 * @type {(facts: Facts, entries: Entry[], medicine: string, now: number) => string}
 */
export function sayLastDose(facts, entries, medicine, now) {
  const rules = /** @type {ActFacts} */ (facts.acts).doses[medicine];
  const last = counting(entries).findLast((one) => isDose(one) && one.payload.medicine === medicine);
  if (!last || !rules) return "No entry of it in the last days.";
  const today = householdDay(sessionKey(now, facts.zone), facts.dayStarts);
  const how = last.payload.outcome === "given" ? "given" : last.payload.outcome;
  return `Last ${how} ${sayTime(last.at, facts.zone, now)}, ${last.payload.given_by ?? last.byName} · not before ${sayTime(last.at + gapBetween(rules, last.day, today), facts.zone, now)}`;
}

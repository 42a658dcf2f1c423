// What the entries on a phone add up to: never more than was written, and a question where two may be one.
import assert from "node:assert/strict";
import { test } from "node:test";
import { batchInUse } from "./phone/batches.js";
import {
  bottlesInUse, counting, isLocked, lockedByStrength, nextAndLast, openLocks, readSession, saySession, saySpan,
} from "./phone/record.js";

const AT = Date.UTC(2026, 10, 25, 20, 0);
const TONIGHT = "2026-11-25T20:00";
const LIMITS = { unfinishedMinutes: 180, staysNextMinutes: 120 };
const FACTS = { zone: "Europe/Dublin", limits: LIMITS, sessions: [], medicines: [], locks: [], batches: null };
let number = 0;

function entry(kind, fields = {}, { session = TONIGHT, minutes = 0, corrects = null } = {}) {
  number += 1;
  const id = `id-${String(number).padStart(4, "0")}`;
  return { id, at: AT + minutes * 60_000, day: "2026-11-25", session, corrects, by: "noor", byName: "Noor", seq: number, told: kind,
    payload: { kind, ...fields } };
}
const read = (...entries) => readSession(TONIGHT, counting(entries), AT + 10 * 60_000, LIMITS);

test("fills add up, and what came back is told apart", () => {
  const session = read(entry("session_started"), entry("fill_given", { fill: 1, ml: 60 }), entry("fill_given", { fill: 2, ml: 60 }),
    entry("came_back", { ml: 12.5 }));
  assert.deepEqual(session.blend, { low: 120, high: 120 });
  assert.deepEqual(session.back, { low: 12.5, high: 12.5 });
  assert.equal(session.standing, "paused");
});

test("three fills of which two people said it, two by two, are no question any more", () => {
  const [one, two, three] = [1, 1, 1].map((fill) => entry("fill_given", { fill, ml: 60 }));
  const told = read(entry("session_started"), one, two, three, entry("both_given", { entries: [two.id, three.id] }),
    entry("both_given", { entries: [one.id, two.id] }));
  assert.deepEqual(told.blend, { low: 180, high: 180 });
  assert.deepEqual(told.clashes, []);
});

test("a lock that the page was made with holds whatever a helper has taken back here", () => {
  const lock = { id: "id-0000", at: AT };
  const gone = { ...entry("withdrawn", { reason: "x" }, { corrects: lock.id }), byRole: "helper" };
  const other = { ...entry("feeding_locked", { trouble: "cough" }, { corrects: lock.id }), byRole: "lead" };
  const cleared = (id) => entry("feeding_cleared", { locks: [id], who: "Dr. Marsh", vet_words: "Go on." });
  const facts = { ...FACTS, locks: [lock] };
  assert.equal(isLocked(facts, [gone]), true);
  assert.deepEqual(openLocks(facts, [gone, other]).map((one) => one.id), [other.id]);
  assert.equal(isLocked(facts, [gone, other, cleared(other.id)]), false);
  assert.equal(isLocked(facts, [gone, cleared(lock.id)]), false);
});

test("one fill written by two phones is a range and a question, and one fill once it is answered", () => {
  const [one, other] = [entry("fill_given", { fill: 1, ml: 60 }), entry("fill_given", { fill: 1, ml: 60 })];
  const open = read(entry("session_started"), one, other);
  assert.deepEqual(open.blend, { low: 60, high: 120 });
  assert.equal(open.clashes.length, 1);
  const both = read(entry("session_started"), one, other, entry("both_given", { entries: [one.id, other.id] }));
  assert.deepEqual(both.blend, { low: 120, high: 120 });
  assert.equal(both.clashes.length, 0);
});

test("a correction takes the place of what it corrects; what is taken back counts no more", () => {
  const first = entry("fill_given", { fill: 1, ml: 60 });
  assert.deepEqual(read(first, entry("fill_given", { fill: 1, ml: 40 }, { corrects: first.id })).blend, { low: 40, high: 40 });
  const gone = counting([first, entry("withdrawn", { reason: "Pressed twice" }, { corrects: first.id })]);
  assert.deepEqual(gone, []);
});

test("any order of arrival gives the same answer", () => {
  const first = entry("fill_given", { fill: 1, ml: 60 });
  const all = [entry("session_started"), first, entry("fill_given", { fill: 1, ml: 50 }, { corrects: first.id }), entry("session_ended")];
  assert.deepEqual(read(...all), read(...all.toReversed?.() ?? [...all].reverse()));
});

test("a dose that was held is not given, and two givings ask", () => {
  const held = read(entry("session_started"), entry("medicine_given", { medicine: "m", outcome: "held" }));
  assert.equal(held.doses[0].times, 0);
  const twice = read(entry("medicine_given", { medicine: "m", outcome: "given" }), entry("medicine_given", { medicine: "m", outcome: "given" }));
  assert.equal(twice.doses[0].times, 2);
  assert.equal(twice.clashes.length, 1);
});

test("a session that nobody ended becomes not known, never given", () => {
  const facts = counting([entry("session_started"), entry("fill_given", { fill: 1, ml: 60 })]);
  const late = readSession(TONIGHT, facts, AT + 181 * 60_000, LIMITS);
  assert.equal(late.standing, "not known");
  assert.match(saySession(late, 210, FACTS.zone), /60 of 210 mL in · no entry since 20:00 · what became of it is not known/);
});

test("silence is told as silence", () => {
  assert.equal(saySession(read(), 210, FACTS.zone), "No entry. Nobody wrote down whether it was given.");
});

test("a lock holds until its own clearing, also one that only the page knows of", () => {
  const locked = entry("feeding_locked", { trouble: "cough" });
  assert.ok(isLocked(FACTS, [locked]));
  assert.ok(isLocked(FACTS, [locked, entry("feeding_cleared", { locks: ["another"] })]));
  assert.ok(!isLocked(FACTS, [locked, entry("feeding_cleared", { locks: [locked.id] })]));
  assert.deepEqual(openLocks({ ...FACTS, locks: [{ id: "from-the-page" }] }, []), [{ id: "from-the-page" }]);
});

test("a bottle of another strength locks its medicine, and so does one that cannot be compared", () => {
  const medicine = { id: "m", form: "liquid", strength: "1 mg/mL", bottle: null };
  const facts = { ...FACTS, medicines: [medicine] };
  const opened = (strength) => [entry("bottle_opened", { medicine: "m", strength })];
  assert.deepEqual([...lockedByStrength(facts, opened("10 mg/mL"))], ["m"]);
  assert.deepEqual([...lockedByStrength(facts, opened("1000 mcg/mL"))], []);
  assert.deepEqual([...lockedByStrength({ ...FACTS, medicines: [{ ...medicine, strength: null }] }, opened("1 mg/mL"))], ["m"]);
  const newest = entry("bottle_opened", { medicine: "m", strength: "2 mg/mL" }, { minutes: 1 });
  assert.equal(bottlesInUse(facts, [newest, ...opened("1 mg/mL")]).m.id, newest.id);
});

test("the next session is the one in hand, then the one that is due, then the one to come", () => {
  const sessions = [[TONIGHT, 0], ["2026-11-25T22:30", 150]].map(([key, minutes]) => ({ key, at: AT + minutes * 60_000, mealMl: 210 }));
  const facts = { ...FACTS, sessions };
  assert.equal(nextAndLast(facts, [], AT - 60_000).next.key, TONIGHT);
  assert.equal(nextAndLast(facts, [entry("session_started"), entry("session_ended")], AT + 60_000).next.key, "2026-11-25T22:30");
  assert.equal(nextAndLast(facts, [], AT + 121 * 60_000).next.key, "2026-11-25T22:30");
  assert.equal(nextAndLast(facts, [entry("session_started")], AT + 60_000).next.key, TONIGHT);
});

test("a batch that is too thick, or past its last day, is named", () => {
  const bounds = { entries: [], levelStartsMl: [1, 4, 8], limitLevel: 2, keepsDays: 2, dayStarts: "04:00" };
  const facts = { ...FACTS, batches: bounds };
  const test_of = (made_on, left_ml) => [entry("flow_test", { batch: "jar", made_on, left_ml, has_flowed: true }, { session: null })];
  assert.deepEqual(batchInUse(facts, test_of("2026-11-25", 2), AT).faults, []);
  assert.deepEqual(batchInUse(facts, test_of("2026-11-25", 9), AT).faults, ["too thick"]);
  assert.deepEqual(batchInUse(facts, test_of("2026-11-23", 2), AT).faults, ["past its last day"]);
});

test("a length of time is told in whole minutes", () => {
  assert.deepEqual([18, 60, 125, 0].map((minutes) => saySpan(minutes * 60_000)), ["18 minutes", "1 hour", "2 hours 5 minutes", "less than a minute"]);
});

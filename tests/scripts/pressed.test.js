// What a press makes, and what is asked before it is written.
import assert from "node:assert/strict";
import { test } from "node:test";
import { askFirst } from "./phone/ask_first.js";
import { entryId, entryIds, isAsked, itemsOf } from "./phone/pressed.js";

const AT = Date.UTC(2026, 10, 25, 20, 0);
const TONIGHT = "2026-11-25T20:00";
const FACTS = {
  sessions: [], me: "noor", myName: "Noor", myRole: "lead", animal: "juniper", zone: "Europe/Dublin", dayStarts: "04:00", limits: { unfinishedMinutes: 120, staysNextMinutes: 120 },
  locks: [], medicines: [], batches: null, acts: {
    feed: { gapMinutes: 180, gapWords: "at least 3 hours lie between two meals by the vet's order", gapAsk: "", mostMl: null, weightKg: 17.4, waterMl: {}, beforeFood: {} },
    doses: { m: { name: "M", held: null, startOn: null, stopOn: null, rhythms: [{ fromOn: null, gapMinutes: 240, most: 2, mostMinutes: 1440 }],
      apart: {}, afterFood: null, secondCheck: false, drawn: null, isByTube: true } },
    sessions: { "2026-11-25T20:00": { at: Date.UTC(2026, 10, 25, 20, 0), mealMl: 210, totalMl: 240, doses: {} } },
    lateHours: 2, checkMinutes: 60, keepsAs: {} } };
const PRESS = { at: AT, zone: "Europe/Dublin", device: "browser-1", corrects: null, isAgain: false, told: (payload) => `Told: ${payload.kind}` };
const dose = { kind: "medicine_given", session: TONIGHT, medicine: "m", outcome: "given" };
const items = (payloads, press = {}, photo = null) => itemsOf({ payloads, photo }, { ...PRESS, ...press }, FACTS);
const given = (minutesAgo, fields = {}) => ({ id: `id-${minutesAgo}`, at: AT - minutesAgo * 60_000, corrects: null, byName: "Sam",
  day: "2026-11-25", session: null, payload: { ...dose, session: null, ...fields } });

test("an id is a UUID of version 7 that begins with its milliseconds", () => {
  const id = entryId(0x017F22E279B0, Uint8Array.from([0x0C, 0xC3, 0x18, 0xC4, 0xDC, 0x0C, 0x0C, 0x07, 0x39, 0x8F]));
  assert.equal(id, "017f22e2-79b0-7cc3-98c4-dc0c0c07398f");
});

test("the ids of one press sort as its facts were written, and never repeat", () => {
  for (let time = 0; time < 200; time += 1) {
    const ids = entryIds(5, AT);
    assert.deepEqual([...ids].sort(), ids);
    assert.equal(new Set(ids).size, 5);
  }
});

test("an item holds the entry as it is sent, and as this phone shows it", () => {
  const [one] = items([dose]);
  assert.deepEqual(one.entry, { id: one.id, animal_id: "juniper", at: "2026-11-25T20:00:00.000Z", zone: "Europe/Dublin", device: "browser-1", payload: dose });
  assert.deepEqual(one.shown, { id: one.id, animal: "juniper", seq: null, at: AT, day: "2026-11-25", session: TONIGHT, payload: dose, corrects: null,
    by: "noor", byName: "Noor", byRole: "lead", told: "Told: medicine_given" });
  assert.equal(one.by, "noor");
  assert.equal(one.state, "waiting");
});

test("only the first fact of a press is asked about as fresh, and none that was answered already", () => {
  assert.deepEqual(items([dose, { kind: "note" }]).map((one) => one.isFresh), [true, false]);
  assert.deepEqual(items([dose], { isAgain: true }).map((one) => one.isFresh), [false]);
});

test("a correction names what it corrects, in the entry and on the phone", () => {
  const [one] = items([dose], { corrects: "before" });
  assert.equal(one.entry.corrects, "before");
  assert.equal(one.shown.corrects, "before");
});

test("what happens in the small hours belongs to the day before; a session keeps its own day", () => {
  const night = { at: Date.UTC(2026, 10, 26, 3, 0) };
  assert.equal(items([{ kind: "note" }], night)[0].shown.day, "2026-11-25");
  assert.equal(items([{ kind: "note", session: "2026-11-26T04:00" }], night)[0].shown.day, "2026-11-26");
});

test("a photo comes last, under its own id, about the first fact or about what it names", () => {
  const photo = { blob: null, payload: { kind: "photo_taken" } };
  const [note, picture] = items([{ kind: "note" }], {}, photo);
  assert.deepEqual([picture.entry.payload.photo, picture.entry.payload.about], [picture.id, note.id]);
  assert.equal(items([], {}, photo)[0].entry.payload.about, undefined);
  assert.equal(items([{ kind: "note" }], {}, { ...photo, payload: { kind: "photo_taken", about: "it" } })[1].entry.payload.about, "it");
});

test("a dose inside the shortest gap is asked about, with who gave the last one and when", () => {
  const [asked] = askFirst(items([dose]), FACTS, [given(200), given(60)], AT);
  assert.equal(asked.state, "asked");
  assert.equal(asked.code, "needs-reason");
  assert.equal(asked.message, "Sam gave it at 16:40 and Sam gave it at 19:00, and at least 4 hours lie between two doses. Not before 23:00. "
    + "2 are recorded within 24 hours, and 2 is the most. Not before 16:40 on 26 November. Ask the vet before you give it.");
  assert.deepEqual(asked.despite, ["id-200", "id-60"]);
});

test("a gap is asked about from the other side too: a dose written down for before one that is recorded", () => {
  assert.equal(askFirst(items([dose], { at: AT - 120 * 60_000 }), FACTS, [given(60)], AT)[0].state, "asked");
});

test("nothing is asked at the end of the gap, of another medicine, of a dose with its reason, or where nothing went in", () => {
  const state = (payload, ...entries) => askFirst(items([payload]), FACTS, entries, AT)[0].state;
  assert.equal(state(dose, given(239)), "asked");
  assert.equal(state(dose, given(240)), "waiting");
  assert.equal(state(dose, given(60, { medicine: "other" })), "waiting");
  assert.equal(state({ ...dose, reason: "The vet said so" }, given(60)), "waiting");
  for (const outcome of ["held", "refused", "missed"]) {
    assert.equal(state(dose, given(60, { outcome })), "waiting", outcome);
    assert.equal(state({ ...dose, outcome }, given(60)), "waiting", outcome);
  }
  assert.equal(askFirst(items([dose]), { ...FACTS, acts: undefined }, [given(60)], AT)[0].state, "waiting");
});

test("the day's maximum is asked about, and so is a meal inside the gap; a reason that was typed names the doses", () => {
  const [full] = askFirst(items([dose]), FACTS, [given(1000), given(400)], AT);
  assert.equal(full.state, "asked");
  assert.match(full.message, /^2 are recorded within 24 hours, and 2 is the most\. Not before 03:20 on 26 November\./);
  const [told] = askFirst(items([{ ...dose, reason: "The vet said so" }]), FACTS, [given(60)], AT);
  assert.deepEqual([told.state, told.entry.payload.despite, told.shown.payload.despite], ["waiting", ["id-60"], ["id-60"]]);
  const meal = { ...given(27), session: "2026-11-25T15:00", payload: { kind: "fill_given", session: "2026-11-25T15:00", fill: 1, ml: 60 } };
  const [start] = askFirst(items([{ kind: "session_started", session: TONIGHT }]), FACTS, [meal], AT);
  assert.equal(start.code, "needs-reason");
  assert.match(start.message, /^The last meal began at 19:33 \(Sam\) and at least 3 hours lie between two meals by the vet's order\. Not before 22:33\./);
  assert.equal(askFirst(items([{ kind: "session_started", session: TONIGHT, reason: "The vet said so" }]), FACTS, [meal], AT)[0].state, "waiting");
});

test("more than the vet's most is for the vet to say, and a lock closes what goes through the tube", () => {
  const over = { ...FACTS, acts: { ...FACTS.acts, sessions: { [TONIGHT]: { ...FACTS.acts.sessions[TONIGHT],
    overCap: { text: "Too much.", weight: "needs a word of the vet" } } } } };
  assert.deepEqual(askFirst(items([{ kind: "session_started", session: TONIGHT, reason: "Why not" }]), over, [], AT).map((one) => [one.code, one.message]), [["needs-vet", "Too much."]]);
  assert.equal(askFirst(items([{ kind: "session_started", session: TONIGHT }]), { ...FACTS, locks: [{ id: "lock" }] }, [], AT)[0].code, "feeding-locked");
});

test("a press is asked about once, by what it is about and for its animal", () => {
  const [first] = items([dose]);
  const queue = [{ ...first, state: "asked" }];
  assert.ok(isAsked(items([dose]), queue, "juniper"));
  assert.ok(!isAsked(items([{ ...dose, medicine: "other" }]), queue, "juniper"));
  assert.ok(!isAsked(items([dose]), queue, "sorrel"));
  assert.ok(!isAsked(items([dose]), [first], "juniper"));
});

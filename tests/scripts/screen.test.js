// Which screen of a session is shown: no mark while anything speaks against it.
import assert from "node:assert/strict";
import { test } from "node:test";
import { screenOf } from "./walk/screen.js";

const FACTS = { me: "noor", usesTube: true, locks: [], medicines: [{ id: "m", form: "liquid", strength: "1 mg/mL", bottle: null }] };
const IN_HAND = { standing: "in hand", heldBy: "noor" };
const FILL = { id: "fill-1", fill: 1, medicine: null };
const DOSE = { id: "dose-m", fill: null, medicine: "m" };
const LOCK = { id: "lock", corrects: null, at: 1, payload: { kind: "feeding_locked" } };
const BOTTLE = { id: "bottle", corrects: null, at: 1, payload: { kind: "bottle_opened", medicine: "m", strength: "10 mg/mL" } };
const shown = ({ facts = FACTS, record = IN_HAND, step = FILL, entries = [], batch = null, made = () => true } = {}) =>
  screenOf(facts, record, step, entries, batch, made);

test("a lock on feeding stands before everything that would go on", () => {
  for (const standing of ["no entry", "in hand", "paused", "stopped"]) {
    assert.equal(shown({ record: { ...IN_HAND, standing }, entries: [LOCK] }), "is-locked", standing);
  }
  assert.equal(shown({ record: { ...IN_HAND, standing: "ended" }, entries: [LOCK] }), "is-ended");
  assert.equal(shown({ facts: { ...FACTS, usesTube: false }, entries: [LOCK] }), "step-fill-1");
});

test("a session that is not in this person's hand shows no step", () => {
  assert.equal(shown({ record: { ...IN_HAND, heldBy: "sam" } }), "is-held");
  assert.equal(shown({ record: { ...IN_HAND, standing: "not known" } }), "is-not-known");
  assert.equal(shown({ step: null }), "is-behind");
});

test("a batch with a fault stands before a fill, not before a medicine", () => {
  const batch = { faults: ["too thick"] };
  assert.equal(shown({ batch }), "batch");
  assert.equal(shown({ batch: { faults: [] } }), "step-fill-1");
  assert.equal(shown({ batch, step: DOSE }), "step-dose-m");
});

test("a bottle of another strength closes its dose; so does a page that holds no mark", () => {
  assert.equal(shown({ step: DOSE, entries: [BOTTLE] }), "locked-dose-m");
  assert.equal(shown({ step: FILL, entries: [BOTTLE] }), "step-fill-1");
  assert.equal(shown({ step: DOSE, made: () => false }), "locked-dose-m");
});

// A form makes the same entry here as on the household's machine, or is refused in words.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Fault } from "./phone/amounts.js";
import { fillIn, isEmpty } from "./phone/form.js";

const needed = { got: "Nothing for ml", allowed: "a number", remedy: "Write it." };
const words = { typed: ["text"], as: "words", field: "text", most: 10, needed };

test("a fact keeps what it says, and takes what was typed in its places", () => {
  assert.deepEqual(fillIn({ kind: "note", text: words }, { text: "  Sleeps  " }), { kind: "note", text: "Sleeps" });
  assert.equal(fillIn({ kind: "note", text: words }, { text: "0123456789" }).text, "0123456789");
});

test("nothing typed where something is needed is refused, and control characters are", () => {
  assert.throws(() => fillIn({ text: words }, {}), Fault);
  assert.throws(() => fillIn({ text: words }, { text: "a\u0007b" }), Fault);
  assert.throws(() => fillIn({ text: words }, { text: "\u200b" }), /A text that shows nothing/);
});

test("what is too long, too much or too far away is refused, and nothing is cut", () => {
  assert.throws(() => fillIn({ text: words }, { text: "0123456789 and more" }), /A text of 19 characters. Allowed: 10 or fewer/);
  assert.throws(() => fillIn({ ml: { typed: ["ml"], as: "exact", field: "ml", high: 5000 } }, { ml: "5001" }), /0 to 5,000/);
  const made = { typed: ["on"], as: "day", field: "on", behind: 366, ahead: 0 };
  assert.throws(() => fillIn({ on: made }, { on: "9999-01-01" }), /in the years 1990 to 2100/);
  assert.throws(() => fillIn({ on: made }, { on: "2026-11-26" }, { today: "2026-11-25" }), /a day from 2025-11-24 to 2026-11-25/);
  assert.equal(fillIn({ on: made }, { on: "2026-11-25" }, { today: "2026-11-25" }).on, "2026-11-25");
});

test("an exact amount stays as it was typed, and a negative one is refused", () => {
  const exact = { typed: ["ml"], as: "exact", field: "ml" };
  assert.equal(fillIn({ ml: exact }, { ml: "5,2" }).ml, "5.2");
  assert.throws(() => fillIn({ ml: exact }, { ml: "-1" }), Fault);
});

test("a choice that is not offered is refused", () => {
  const choice = { typed: ["effect"], as: "choice", field: "effect", of: { eased: "eased a little" }, needed };
  assert.equal(fillIn({ effect: choice }, { effect: "eased" }).effect, "eased a little");
  assert.throws(() => fillIn({ effect: choice }, { effect: "toString" }), Fault);
});

test("what the phone knows by itself stands before what the page was made with", () => {
  const bottle = { typed: [], as: "bottle", field: "bottle", medicine: "m", known: "old" };
  assert.equal(fillIn({ bottle }, {}, { bottles: { m: "new" } }).bottle, "new");
  assert.equal(fillIn({ bottle }, {}, {}).bottle, "old");
});

test("a day is one of the calendar", () => {
  const day = { typed: ["on"], as: "day", field: "on", remedy: "Choose a day." };
  assert.equal(fillIn({ on: day }, { on: "2026-03-31" }).on, "2026-03-31");
  assert.throws(() => fillIn({ on: day }, { on: "2026-02-30" }), Fault);
});

test("a form is empty where nothing was typed in any of its places", () => {
  assert.ok(isEmpty({ kind: "note", text: words }, { text: "  " }));
  assert.ok(!isEmpty({ kind: "note", text: words }, { text: "x" }));
});

// When a step that takes its time is asked about; see web/walk/too_early.js.
import assert from "node:assert/strict";
import { test } from "node:test";
import { isTooEarly, sayTime } from "./walk/too_early.js";

test("a push of three minutes that is over after three seconds is asked about", () => {
  assert.equal(isTooEarly(180, 0, 3_000), true);
  assert.equal(isTooEarly(180, 0, 59_000), true);
  assert.equal(isTooEarly(180, 0, 60_000), false);
});

test("twenty minutes upright that are over after two seconds are asked about", () => {
  assert.equal(isTooEarly(1200, 0, 2_000), true);
  assert.equal(isTooEarly(1200, 0, 401_000), false);
});

test("a step without a time, or a short one, is never asked about", () => {
  assert.equal(isTooEarly(0, 0, 0), false);
  assert.equal(isTooEarly(15, 0, 1), false);
});

test("times are told in minutes and seconds", () => {
  assert.equal(sayTime(2), "0:02");
  assert.equal(sayTime(1200), "20:00");
});

// Who answers now: a page kept in the afternoon is opened at night.
import assert from "node:assert/strict";
import { test } from "node:test";
import { answers, inOrder, localTime } from "./calls/hours.js";

const [SUN, MON, TUE] = [0, 1, 2];

test("somebody answers from the opening on, and not at the closing", () => {
  const hours = [[["mon"], "08:30", "18:30"]];
  assert.deepEqual(["08:29", "08:30", "18:29", "18:30"].map((clock) => answers(hours, MON, clock)), [false, true, true, false]);
  assert.equal(answers(hours, TUE, "12:00"), false);
});

test("hours past midnight belong to the day they began on", () => {
  const hours = [[["sun"], "18:30", "08:30"]];
  assert.deepEqual([[SUN, "18:29"], [SUN, "18:30"], [SUN, "03:00"], [MON, "03:00"], [MON, "08:30"]].map(([day, clock]) => answers(hours, day, clock)),
    [false, true, false, true, false]);
});

test("where no hours are stated nobody knows", () => {
  assert.equal(answers([], MON, "12:00"), null);
});

test("the clock is the household's, not the phone's", () => {
  assert.deepEqual(localTime("Europe/Dublin", new Date("2026-11-29T23:30:00Z")), [SUN, "23:30"]);
  assert.deepEqual(localTime("Asia/Tokyo", new Date("2026-11-29T23:30:00Z")), [MON, "08:30"]);
  assert.deepEqual(localTime("Europe/Dublin", new Date("2026-11-30T00:05:00Z")), [MON, "00:05"]);
});

test("the numbers stand in the order in which they help, a poison line below the clinics", () => {
  const [shut, unsaid, open] = [false, null, true].map((one) => ({ open: one, isPoison: false }));
  const [poisonOpen, poisonShut] = [true, false].map((one) => ({ open: one, isPoison: true }));
  assert.deepEqual(inOrder([poisonShut, poisonOpen, shut, unsaid, open]), [open, unsaid, shut, poisonOpen, poisonShut]);
});

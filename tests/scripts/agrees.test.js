// A second reading is the dose, or it is not.
import assert from "node:assert/strict";
import { test } from "node:test";
import { agrees } from "./second_check/agrees.js";

test("a reading within half a step of the syringe is the dose, its edges included", () => {
  const drawn = { ml: "5.2", step_ml: "0.2" };
  assert.deepEqual(["5.2", "5.1", "5.3", "5.09", "5.31", "52", 0.52].map((ml) => agrees({ ml }, drawn)), [true, true, true, false, false, false, false]);
});

test("pieces are the same count, or another dose", () => {
  assert.deepEqual(["0.5", "1", "0.25"].map((pieces) => agrees({ pieces }, { pieces: "1/2" })), [true, false, false]);
});

test("a reading of another sort is none", () => {
  assert.ok(!agrees({ pieces: "1" }, { ml: "1", step_ml: "0.1" }));
  assert.ok(!agrees({ ml: "1" }, { pieces: "1" }));
});

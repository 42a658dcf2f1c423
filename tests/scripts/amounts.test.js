// Numbers, strengths and slips of the pen, as a person types them.
import assert from "node:assert/strict";
import { test } from "node:test";
import { Fault, compare, fromNumber, isSameStrength, minus, plain, readNumber, strengthOf, writeNumber } from "./phone/amounts.js";
import { findSlip, readDay, readPrintedDay } from "./phone/label.js";

const SLIPS = { slips: [[10, "10 times", "a lost point"], [1000, "1000 times", "mg for mcg"]], closeness: 0.01 };

test("a number is read exactly, with a point or a comma", () => {
  for (const [text, read] of [["0.5", "0.5"], ["12,5", "12.5"], ["1 234", "1234"], ["10", "10"]]) {
    assert.equal(plain(readNumber(text, "ml")), read);
  }
});

test("what invites a tenfold or thousandfold slip is refused", () => {
  for (const text of [".5", "5.0", "1,234", "05", "", "five", "1.2.3"]) {
    assert.throws(() => readNumber(text, "ml"), Fault, text);
  }
});

test("sums are exact where floats are not", () => {
  assert.equal(plain(minus(fromNumber(0.3), fromNumber(0.1))), "0.2");
  assert.equal(compare(fromNumber("5.20"), fromNumber(5.2)), 0);
  assert.equal(compare(fromNumber(5.2), fromNumber(5.3)), -1);
});

test("a number is written with four digits, a comma between thousands and no trailing zero", () => {
  for (const [value, written] of [[5.2, "5.2"], [1234.56, "1,235"], [0.125, "0.125"], [100000, "100,000"], [2.5, "2.5"], [0, "0"], [1234.5, "1,234"], [1235.5, "1,236"]]) {
    assert.equal(writeNumber(fromNumber(value)), written);
  }
});

test("one strength may be written in many ways", () => {
  for (const [one, other] of [["1 mg/mL", "1000 mcg/mL"], ["1 mg/mL", "0.1 %"], ["5 mg/5 mL", "1 mg/mL"], ["1 g/L", "1 mg/mL"]]) {
    assert.ok(isSameStrength(strengthOf(one, "liquid"), strengthOf(other, "liquid")), `${one} and ${other}`);
  }
  assert.ok(!isSameStrength(strengthOf("1 mg/mL", "liquid"), strengthOf("10 mg/mL", "liquid")));
  assert.ok(!isSameStrength(strengthOf("5 mg/tablet", "tablet"), strengthOf("5 mg/mL", "liquid")));
});

test("units, mEq and mmol are read, and none is taken for mg or for another", () => {
  assert.ok(isSameStrength(strengthOf("40 units/mL", "liquid"), strengthOf("200 units/5 mL", "liquid")));
  for (const other of ["40 mg/mL", "40 mEq/mL", "40 mmol/mL", "100 units/mL"]) {
    assert.ok(!isSameStrength(strengthOf("40 units/mL", "liquid"), strengthOf(other, "liquid")), other);
  }
  for (const text of ["40 U/mL", "40 IU/mL", "40 units", "0 units/mL"]) assert.equal(strengthOf(text, "liquid"), null, text);
});

test("a strength that cannot be read is none, and never passes for the plan's", () => {
  for (const text of [null, undefined, "", "10", "10 mg", "0 mg/mL", "10 mg/0 mL", "10mg per mL"]) {
    assert.equal(strengthOf(text, "liquid"), null, String(text));
  }
  assert.equal(strengthOf("10 mg/mL", "tablet"), null);
});

test("a tenfold or thousandfold other strength is named as a slip, in both directions", () => {
  const [one, ten, thousand] = ["1 mg/mL", "10 mg/mL", "1 mcg/mL"].map((text) => strengthOf(text, "liquid"));
  assert.equal(findSlip(ten, one, SLIPS), "10 times as much: a lost point");
  assert.equal(findSlip(one, ten, SLIPS), "10 times less: a lost point");
  assert.equal(findSlip(thousand, one, SLIPS), "1000 times less: mg for mcg");
  assert.equal(findSlip(one, one, SLIPS), null);
  assert.equal(findSlip(null, one, SLIPS), null);
});

test("the last day that a label means", () => {
  assert.equal(readPrintedDay("EXP 03/2026"), "2026-03-31");
  assert.equal(readPrintedDay("use before March 2026"), "2026-02-28");
  assert.equal(readPrintedDay("2026-03-31"), "2026-03-31");
  assert.equal(readDay("2026-02-30"), null);
  for (const text of ["13/2026", "soon", "Ma 2026"]) assert.throws(() => readPrintedDay(text), Fault, text);
});

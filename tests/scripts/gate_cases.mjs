// Reads histories, and writes what the phone's gate finds in each; test_gate.py sets the core's answers beside it.
import { readFileSync, writeFileSync } from "node:fs";
import { actOf, checkAct, lookAhead } from "./phone/gate.js";
import { sayLastDose, sayLastMeal } from "./phone/gate.js";

const [, , from, to] = process.argv;
const { facts, cases } = JSON.parse(readFileSync(from, "utf8"));
const answers = cases.map(({ which, entries, act, at, by, session, medicine }) => {
  const mine = { ...facts[which], me: by };
  return {
    act: checkAct(mine, entries, actOf(mine, act, at), at),
    ahead: session && lookAhead(mine, entries, session, at),
    meal: sayLastMeal(mine, entries, session, at),
    dose: sayLastDose(mine, entries, medicine, at),
  };
});
writeFileSync(to, JSON.stringify(answers));

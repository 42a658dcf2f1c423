// Reads histories, and writes what the phone's gate finds in each; test_gate.py sets the core's answers beside it.
import { readFileSync, writeFileSync } from "node:fs";
import { actOf, checkAct, lookAhead, openDoses, sayLastDose, sayLastMeal } from "./phone/gate.js";
import { nextAndLast } from "./phone/record.js";

const [, , from, to] = process.argv;
const { facts, cases } = JSON.parse(readFileSync(from, "utf8"));
const answers = cases.map(({ which, entries, act, at, by, session, medicine, since }) => {
  const mine = { ...facts[which], me: by };
  const found = checkAct(mine, entries, actOf(mine, act, at), at);
  if (!medicine) return { act: found };
  // the first screen of the server looks back to yesterday
  const recent = { ...mine, sessions: mine.sessions.filter((one) => one.key.slice(0, 10) >= since) };
  const { views, next } = nextAndLast(recent, entries.filter((one) => one.day >= since), at);
  return {
    open: openDoses(mine, views, next, at),
    act: found,
    ahead: session && lookAhead(mine, entries, session, at),
    meal: sayLastMeal(mine, entries, session, at),
    dose: sayLastDose(mine, entries, medicine, at),
  };
});
writeFileSync(to, JSON.stringify(answers));

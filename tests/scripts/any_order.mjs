// Reads histories in several orders of arrival, and writes what the phone makes of each; tests/properties/test_any_order.py
// sets the record's answers beside it.
import { readFileSync, writeFileSync } from "node:fs";
import { isLocked, openLocks, readSession } from "./phone/record.js";
import { showEntries } from "./phone/corrections.js";

const [, , from, to] = process.argv;
const { cases, sessions, limits, now } = JSON.parse(readFileSync(from, "utf8"));
const amount = (one) => one && [one.low, one.high];
const read = (entries) => {
  const shown = showEntries(entries);
  const counted = shown.filter(({ counts }) => counts).map(({ one }) => one);
  return {
    counting: counted.map((one) => one.id),
    void: shown.filter(({ isVoid }) => isVoid).map(({ one }) => one.id),
    locks: openLocks({ locks: [] }, entries).map(({ id }) => id),
    isLocked: isLocked({ locks: [] }, entries),
    sessions: sessions.map((key) => {
      const one = readSession(key, counted, now, limits);
      return [one.standing, amount(one.blend), amount(one.flush), amount(one.back),
        one.doses.map((dose) => [dose.medicine, dose.outcome, dose.times]), one.clashes.map((clash) => [clash.what, [...clash.ids].sort()])];
    }),
  };
};
writeFileSync(to, JSON.stringify(cases.map(({ entries, orders }) => orders.map((order) => read(order.map((place) => entries[place]))))));

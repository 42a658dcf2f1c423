// Which batch is the meal fed from, and may it be? The first screen asks for none of it.
import { counting, dayInWords, householdDay, plusDays, sessionKey } from "./record.js";

/** @type {(test: Payload, bounds: BatchBounds) => boolean} */
export function isTooThick(test, { levelStartsMl: [one, two, three], limitLevel }) {
  if (test.has_flowed === false) return true;
  const level = Number(test.left_ml >= one) + Number(test.left_ml >= two) + Number(test.left_ml > three);
  return limitLevel !== null && level > limitLevel;
}

/**
 * The batch that meals are fed from, and why it is not to be given; see core/batches.read_batches.
 * @type {(facts: Facts, entries: Entry[], now: number) => BatchRead | null}
 */
export function batchInUse(facts, entries, now) {
  const bounds = facts.batches;
  if (!bounds) return null;
  const known = new Map(bounds.entries.map((one) => [one.id, one]));
  for (const one of entries) known.set(one.id, one);
  const dayOf = (/** @type {Entry} */ one) => (one.session ? householdDay(one.session, bounds.dayStarts) : one.day);
  const found = new Map();
  for (const one of counting([...known.values()])) {
    const { payload } = one;
    if (!["flow_test", "batch_chosen", "batch_made"].includes(payload.kind)) continue;
    const madeOn = payload.made_on ?? dayOf(one);
    const key = `${madeOn} ${payload.batch ?? ""}`;
    const batch = found.get(key) ?? { label: payload.batch ?? "", madeOn, isThick: false, wordOn: null };
    found.delete(key);
    if (payload.kind === "flow_test") Object.assign(batch, { isThick: isTooThick(payload, bounds), wordOn: null });
    else if (payload.reason) batch.wordOn = dayOf(one);
    found.set(key, batch);
  }
  const batch = [...found.values()].at(-1);
  if (!batch) return null;
  const lastOn = bounds.keepsDays === null ? null : plusDays(batch.madeOn, bounds.keepsDays - 1);
  const isPast = lastOn !== null && householdDay(sessionKey(now, facts.zone), bounds.dayStarts) > lastOn;
  const faults = [];
  if (batch.isThick && batch.wordOn === null) faults.push("too thick");
  if (isPast && !(batch.wordOn !== null && batch.wordOn > lastOn)) faults.push("past its last day");
  return { label: batch.label, madeOn: batch.madeOn, lastOn, faults };
}

/**
 * A batch as people call it.
 * @type {(batch: { label: string, madeOn: string }) => string}
 */
export const sayBatch = ({ label, madeOn }) => `${label || "the batch"} of ${dayInWords(madeOn)}`;

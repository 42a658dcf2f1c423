// Which screen of a session fits what is recorded.
import { isLocked, lockedByStrength } from "../phone/record.js";

const GOES_ON = ["no entry", "in hand", "paused", "stopped"];

/**
 * The screen's id; `isMade` tells whether the page holds a screen, as one that was made while it was locked holds no mark.
 * @type {(facts: Facts, record: SessionRecord, step: StepFacts | null, entries: Entry[], batch: BatchRead | null, isMade: (screen: string) => boolean) => string}
 */
export function screenOf(facts, record, step, entries, batch, isMade) {
  if (facts.usesTube && GOES_ON.includes(record.standing) && isLocked(facts, entries)) return "is-locked";
  if (record.standing !== "in hand") return `is-${record.standing.replace(" ", "-")}`;
  if (record.heldBy !== facts.me) return "is-held";
  if (!step) return "is-behind";
  if (step.fill && batch?.faults.length) return "batch";
  const isClosed = (step.medicine !== null && lockedByStrength(facts, entries).has(step.medicine)) || !isMade(`step-${step.id}`);
  return `${isClosed ? "locked" : "step"}-${step.id}`;
}

// May anything go through the tube? The same answer as core/record/locks.py gives.
import { showEntries } from "./corrections.js";

/**
 * The entries that lock feeding, oldest first: those of the record, and those that the page was made with.
 * @type {(facts: Facts, entries: Entry[]) => { id: string }[]}
 */
export function openLocks(facts, entries) {
  const shown = showEntries(entries);
  const counted = shown.filter(({ counts }) => counts).map(({ one }) => one);
  const aims = new Map(shown.map(({ one, aim }) => [one.id, aim]));
  const cleared = new Set(counted.filter((one) => one.payload.kind === "feeding_cleared").flatMap((one) => one.payload.locks));
  const isCleared = (/** @type {string} */ id) => {
    const passed = new Set();
    /** @type {string | null | undefined} */
    let here = id;
    for (; here && !passed.has(here); here = aims.get(here)) {
      if (cleared.has(here)) return true;
      passed.add(here);
    }
    return false;
  };
  // the page's own lock is left to what is known here of it: itself, or another lock in its place
  const isTold = (/** @type {{ id: string }} */ { id }) =>
    shown.some(({ one, aim }) => one.id === id || (aim === id && one.payload.kind === "feeding_locked" && one.byRole === "lead"));
  const before = (facts.locks ?? []).filter((one) => !cleared.has(one.id) && !isTold(one));
  return [...before, ...counted.filter((one) => one.payload.kind === "feeding_locked" && !isCleared(one.id))];
}

/** @type {(facts: Facts, entries: Entry[]) => boolean} */
export const isLocked = (facts, entries) => openLocks(facts, entries).length > 0;

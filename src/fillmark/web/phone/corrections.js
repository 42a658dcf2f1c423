// Which entries count, what was corrected, and who may correct what: the same answers as core/record/corrections.py gives,
// in whatever order entries came here. tests/properties/test_any_order.py holds both to the same histories.

/** An entry as the record shows it; see core/record/corrections.ShownEntry.
 * @typedef {{ one: Entry, counts: boolean, aim: string | null, isVoid: boolean }} Shown */

/** @type {(payload: Payload, by: string, role: Role | undefined, corrected: Entry) => boolean} */
function mayCorrect(payload, by, role, corrected) {
  if (corrected.payload.kind === "feeding_locked") return payload.kind === "feeding_locked" && role === "lead";
  return corrected.by === by || role !== "sitter";
}

/**
 * What each correction puts right, and those whose writers may not.
 * @type {(known: Map<string, Entry>) => { aims: Map<string, string | null>, voids: Set<string> }}
 */
function readAims(known) {
  /** @type {Map<string, string | null>} */
  const aims = new Map();
  /** @type {Set<string>} */
  const voids = new Set();
  const judge = (/** @type {Entry} */ one) => {
    let aim = one.corrects ?? null;
    const passed = new Set([one.id]);
    while (aim !== null && voids.has(aim) && !passed.has(aim) && one.payload.kind !== "withdrawn") {
      passed.add(aim);
      aim = known.get(aim)?.corrects ?? null;
    }
    aims.set(one.id, aim);
    const corrected = aim === null || voids.has(aim) ? null : known.get(aim);
    if (!corrected || mayCorrect(one.payload, one.by, one.byRole, corrected)) return;
    if (one.payload.kind === "feeding_locked") aims.set(one.id, null); // whoever writes it and about whatever: a lock locks
    else voids.add(one.id);
  };
  for (const id of [...known.values()].filter((one) => one.corrects).map((one) => one.id).sort()) {
    const chain = [];
    let here = known.get(id);
    while (here && !aims.has(here.id)) {
      aims.set(here.id, null);
      chain.push(here);
      here = here.corrects ? known.get(here.corrects) : undefined;
    }
    for (const one of chain.reverse()) judge(one);
  }
  return { aims, voids };
}

/** @type {(facts: Entry[], aims: Map<string, string | null>) => Entry} */
function newest(facts, aims) {
  const locks = facts.filter((one) => one.payload.kind === "feeding_locked");
  const found = locks.length ? locks : facts;
  const corrected = new Set(found.map((one) => aims.get(one.id)));
  const open = found.filter((one) => !corrected.has(one.id));
  return (open.length ? open : found).reduce((best, one) => (one.id > best.id ? one : best));
}

/**
 * Every entry in the order it happened, with whether it counts.
 * @type {(entries: Entry[]) => Shown[]}
 */
export function showEntries(entries) {
  const known = new Map(entries.map((one) => [one.id, one]));
  const { aims, voids } = readAims(known);
  /** @type {Map<string, string>} */
  const parent = new Map();
  const root = (/** @type {string} */ id) => {
    if (!parent.has(id)) parent.set(id, id);
    let at = id;
    for (let above = parent.get(at); above !== undefined && above !== at; above = parent.get(at)) at = above;
    return at;
  };
  for (const { id } of known.values()) parent.set(root(id), root((voids.has(id) ? null : aims.get(id)) ?? id));
  /** @type {Map<string, Entry[]>} */
  const groups = new Map();
  for (const one of known.values()) if (!voids.has(one.id)) groups.set(root(one.id), [...(groups.get(root(one.id)) ?? []), one]);
  const winners = new Set([...groups.values()].map((facts) => newest(facts, aims)));
  return [...known.values()].sort((one, other) => one.at - other.at || (one.id < other.id ? -1 : 1)).map((one) => ({
    one, counts: winners.has(one) && one.payload.kind !== "withdrawn", aim: aims.get(one.id) ?? null, isVoid: voids.has(one.id),
  }));
}

/**
 * The entries that count, in the order they happened: of all that was written about one fact, the newest end.
 * @type {(entries: Entry[]) => Entry[]}
 */
export const counting = (entries) => showEntries(entries).filter(({ counts }) => counts).map(({ one }) => one);

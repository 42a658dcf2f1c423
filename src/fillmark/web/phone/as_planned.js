// Is it as much as was planned? The same answers as core/gates/as_planned.py and core/chart/objections.py give.
import { NOT_KNOWN, number } from "./record.js";

/**
 * Why a fill, or a meal written down as one amount, is more than was planned.
 * @type {(acts: ActFacts, payload: Payload) => [code: string, because: string][]}
 */
export function moreThanPlanned(acts, { kind, session, fill, ml, total_ml: total, reason }) {
  const planned = acts.sessions[session];
  if (reason || !planned?.mealMl) return [];
  const marks = planned.marks ?? [];
  /** @type {(because: string) => [code: string, because: string][]} */
  const found = (because) => [["more-than-planned", because]];
  if (kind === "fill_given" && fill > marks.length) return found(`the meal has ${marks.length} fills, and this is fill ${fill}`);
  if (kind === "fill_given" && ml > marks[fill - 1]) return found(`fill ${fill} is drawn to ${number(marks[fill - 1])} mL, and ${number(ml)} mL is written`);
  if (kind !== "meal_ended" || total === NOT_KNOWN || total <= planned.mealMl * acts.mealTimes) return [];
  return found(`the meal is ${number(planned.mealMl)} mL, and ${number(total)} mL is written`);
}

/**
 * Another mass than the order's of that day, or another mark than the plan's: an old page, or a slip of the point.
 * @type {(acts: ActFacts, payload: Payload) => [code: string, because: string][]}
 */
export function anotherDose(acts, { session, medicine, dose_mg: mg, ml }) {
  const ordered = acts.sessions[session]?.doses[medicine]?.ordered ?? acts.doses[medicine].ordered;
  /** @type {[words: string, unit: string, planned: string | undefined, written: string | undefined][]} */
  const pairs = [["the order is", "mg", ordered.mg, mg], ["it is drawn to", "mL", ordered.ml, ml]];
  return pairs.filter(([, , planned, written]) => planned !== undefined && written !== undefined && Number(planned) !== Number(written))
    .map(([words, unit, planned, written]) => /** @type {[string, string]} */ (["another-dose", `${words} ${number(Number(planned))} ${unit}, and ${number(Number(written))} ${unit} is written`]))
    .slice(0, 1);
}

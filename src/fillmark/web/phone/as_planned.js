// Is it as much as was planned? The same answers as core/gates/as_planned.py and core/chart/objections.py give. A page that
// was kept from before tells none of these amounts, and is asked about nothing here.
import { NOT_KNOWN, number } from "./record.js";

/**
 * Why a fill, or a meal written down as one amount, is more than was planned.
 * @type {(acts: ActFacts, payload: Payload) => [code: string, because: string][]}
 */
export function moreThanPlanned({ sessions, mealTimes }, { kind, session, fill, ml, total_ml: total, reason }) {
  const { mealMl = 0, marks } = sessions[session] ?? {};
  if (reason || !mealMl || !marks) return [];
  /** @type {(because: string) => [code: string, because: string][]} */
  const found = (because) => [["more-than-planned", because]];
  if (kind === "fill_given" && fill > marks.length) return found(`the meal has ${marks.length} fills, and this is fill ${fill}`);
  if (kind === "fill_given" && ml > marks[fill - 1]) return found(`fill ${fill} is drawn to ${number(marks[fill - 1])} mL, and ${number(ml)} mL is written`);
  if (kind !== "meal_ended" || total === NOT_KNOWN || total <= mealMl * mealTimes) return [];
  return found(`the meal is ${number(mealMl)} mL, and ${number(total)} mL is written`);
}

/**
 * Another mass than the order's of that day, or another mark than the plan's: an old page, or a slip of the point.
 * @type {(acts: ActFacts, payload: Payload) => [code: string, because: string][]}
 */
export function anotherDose({ sessions, doses }, { session, medicine, dose_mg: mg, ml }) {
  const ordered = sessions[session]?.doses[medicine]?.ordered ?? doses[medicine].ordered ?? {};
  /** @type {[words: string, unit: string, planned: string | undefined, written: string | undefined][]} */
  const pairs = [["the order is", "mg", ordered.mg, mg], ["it is drawn to", "mL", ordered.ml, ml]];
  const others = pairs.filter(([, , planned, written]) => planned !== undefined && written !== undefined && Number(planned) !== Number(written));
  return others.slice(0, 1).map(([words, unit, planned, written]) => ["another-dose",
    `${words} ${number(Number(planned))} ${unit}, and ${number(Number(written))} ${unit} is written`]);
}

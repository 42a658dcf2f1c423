// What a form has written, as a sentence: the same words as web/words.py has for it.
import { fromNumber, writeNumber } from "./amounts.js";

const NOT_KNOWN = "not known";
/** @type {(value: number | string) => string} */
const number = (value) => writeNumber(fromNumber(value));
/** @type {(payload: Payload) => string} */
const amount = ({ ml, pieces }) => (ml !== undefined ? `${number(ml)} mL` : `${number(pieces)} ${pieces === "1" ? "piece" : "pieces"}`);

/** @type {(payload: Payload) => string} */
function flow({ batch, left_ml: left, has_flowed: hasFlowed, water_ml: water, food_g: food, sieved, frozen }) {
  const handled = [...(sieved ? [", sieved"] : []), ...(frozen ? [", frozen and thawed"] : [])].join("");
  const result = hasFlowed === false ? "nothing flowed" : `${number(left)} mL left`;
  return `Flow test${batch ? ` of ${batch}` : ""}: ${result} (${number(water)} mL water, ${number(food)} g food${handled})`;
}

/** @type {(payload: Payload) => string} */
function made({ foods, water_ml: water, ml, batch_g: weighed, batch }) {
  const each = foods.map((/** @type {any} */ { food, cans, g, ml: of }) => {
    const name = food.replaceAll("-", " ");
    if (cans !== undefined) return `${number(cans)} ${cans === 1 ? "can" : "cans"} ${name}`;
    return g !== undefined ? `${number(g)} g ${name}` : `${number(of)} mL ${name}`;
  }).join(", ");
  const measured = ml !== undefined ? `, ${number(ml)} mL in the jug` : weighed !== undefined ? `, ${number(weighed)} g on the scale` : "";
  return `Made batch${batch ? ` ${batch}` : ""}: ${each}, ${number(water)} mL water${measured}`;
}

/** @type {{ [kind: string]: (one: Payload, name: string) => string }} */
const SAY = {
  bottle_opened: (one, name) => `Opened: ${name} ${one.strength}, ${amount(one)}`,
  stock_counted: (one, name) => `Counted: ${amount(one)} of ${name} left`,
  second_check: (one, name) => `Second check of ${name}: ${amount(one)} read${one.reader_name ? ` by ${one.reader_name}` : ""}`,
  flow_test: flow,
  batch_made: made,
  effect_seen: (one) => `Effect of a medicine: ${one.effect}${one.words ? `. ${one.words}` : ""}`,
  drank: (one) => (one.ml === NOT_KNOWN ? "Drank, how much is not known" : `Drank ${number(one.ml)} mL`),
  ate: (one) => `Ate by mouth, ${one.food.replaceAll("-", " ")}: ${one.g === NOT_KNOWN ? "how much is not known" : `${number(one.g)} g`}`,
  came_back: (one) => (one.ml === NOT_KNOWN ? "Some came back, how much is not known" : `${number(one.ml)} mL came back`),
  fill_given: (one) => `Fill ${one.fill}: ${number(one.ml)} mL in`,
  weight: (one) => `Weight ${number(one.weight_kg)} kg${one.meal ? `, ${one.meal} the meal` : ""}${one.scale ? `, ${one.scale}` : ""}`,
  sheet_thrown_away: (one) => `Thrown away: the printed sheet of plan version ${one.version}`,
  note: (one) => one.text,
  photo_taken: (one) => (one.words ? `Photo: ${one.words}` : "Photo"),
  feeding_cleared: (one) => `Feeding is cleared. ${one.who}: ${one.vet_words}`,
  withdrawn: (one) => `Taken back: ${one.reason}`,
};

/**
 * The sentence of a payload; none for a kind that no form writes.
 * @type {(payload: Payload, names?: { [medicine: string]: string }) => string}
 */
export const say = (payload, names = {}) => SAY[payload.kind]?.(payload, names[payload.medicine] ?? payload.medicine) ?? "";

// A form that makes one entry, read on the phone: the same payload that the server makes from the same fields, refused
// in the same words. The places are declared by web/entry_form.py.
import { Fault, compare, cut, fromNumber, minus, plain, readNumber, strip, writeNumber } from "./amounts.js";
import { counting } from "./corrections.js";
import { readDay, readPrinted, readPrintedDay } from "./label.js";

export { makePhoto } from "../photos/photo.js";
export { say } from "./say.js";


const MOST_LABEL = 80;
const MOST_WHOLE = fromNumber(1_000_000_000);
const CONTROL = /[\x00-\x08\x0b-\x1f\x7f-\x9f]/;
const SEEN = /[^\p{Cc}\p{Cf}\p{Cs}\p{Cn}\p{Zs}\p{Zl}\p{Zp}\u115f\u1160\u2800\u3164\uffa0]/u;
const DAY_MILLIS = 86_400_000;

/**
 * The day, if it is no further from today than its place allows; the server judges it by its own day once more.
 * @type {(place: Place, day: string, known: Known) => string}
 */
function near({ behind, ahead, typed }, day, { today }) {
  if (!today || behind === undefined || ahead === undefined) return day;
  const [first, last] = [-behind, ahead].map((days) => new Date(Date.parse(`${today}T00:00:00Z`) + days * DAY_MILLIS).toISOString().slice(0, 10));
  if (day < first || day > last) throw new Fault(`"${day}" for ${typed[0]}`, `a day from ${first} to ${last}`, "Check the day, the month and the year.");
  return day;
}

/** @type {(place: Place) => unknown} */
const needed = ({ needed: said }) => {
  if (said) throw new Fault(said.got, said.allowed, said.remedy);
  return null;
};

/** @type {{ [kind: string]: (place: Place, text: string, form: Typed, known: Known) => unknown }} */
const READ = {
  number(place, text) {
    let number = readNumber(text, place.field);
    if (place.times !== undefined) number = fromNumber(Number(plain(number)) * place.times);
    const drawn = place.from === undefined ? null : fromNumber(place.from);
    const most = drawn ?? (place.high === undefined ? null : fromNumber(place.high));
    const isOver = place.above !== undefined;
    const least = fromNumber(isOver ? place.above : place.low);
    if (compare(number, least) < Number(isOver) || (most && compare(number, most) > 0)) {
      const start = `${isOver ? "more than " : ""}${writeNumber(least)}`;
      throw new Fault(`${writeNumber(number)} ${place.unit}`,
        most ? `${start} to ${writeNumber(most)} ${place.unit}` : `${start} ${place.unit} or more`, place.remedy);
    }
    return Number(plain(drawn ? minus(drawn, number) : number));
  },
  exact(place, text) {
    const number = readNumber(text, place.field);
    const most = place.high === undefined ? null : fromNumber(place.high);
    if (number.digits < 0n || compare(number, MOST_WHOLE) >= 0 || (most && compare(number, most) > 0)) {
      throw new Fault(`${writeNumber(number)} for ${place.field}`, most ? `0 to ${writeNumber(most)}` : "0 or more, and a number of ordinary length",
        "Write the number as it is on the label.");
    }
    return plain(number);
  },
  weight(place, _text, form, known) {
    const [kg, lb, oz] = place.typed.map((name) => strip(form[name] ?? ""));
    if (kg && (lb || oz)) throw new Fault("A weight in kg and in lb", "one of the two", "Keep what the scale showed.");
    const number = kg || !(lb || oz) ? readNumber(kg, "kg") : kgOf(place, lb, oz);
    const [low, high] = [fromNumber(place.low), fromNumber(place.high)];
    if (compare(number, low) < 0 || compare(number, high) > 0) {
      throw new Fault(`${writeNumber(number)} kg`, `${writeNumber(low)} to ${writeNumber(high)} kg`, "Check the number and its unit.");
    }
    const exactly = Number(plain(number));
    const newer = counting(known.entries ?? []).filter((one) => one.payload.kind === "weight" && one.at > (place.last_at ?? 0));
    const since = newer.sort((one, other) => one.at - other.at).at(-1)?.payload.weight_kg ?? place.last;
    if (since !== undefined && form.checked === undefined) checkJump(place, exactly, since);
    return exactly;
  },
  words(place, text) {
    if (!text) return needed(place);
    checkPlain(text);
    tooLong("A text", text, place.most, "Shorten it, or write the rest down as a note of its own.");
    return text;
  },
  day(place, text, _form, known) {
    if (!text) return null;
    const day = readDay(text);
    if (!day || day < "1990" || day >= "2101") {
      throw new Fault(`"${cut(text, 20)}" for a day`, "a day of the calendar, as 2026-03-31, in the years 1990 to 2100", place.remedy);
    }
    return near(place, day, known);
  },
  "printed day": (place, text, _form, known) => (text ? near(place, readPrintedDay(text), known) : null),
  strength(_place, text) {
    if (text) checkPlain(text);
    tooLong("A strength", text, MOST_LABEL, "Copy only the strength from the label.");
    return readPrinted(text);
  },
  choice: (place, text) => (Object.hasOwn(place.of, text) ? place.of[text] : needed(place)),
  tick: (place, _text, form) => form[place.typed[0]] !== undefined,
  unless: (place, _text, form) => form[place.typed[0]] !== place.value,
  bottle: (place, _text, _form, known) => known.bottles?.[place.medicine] ?? place.known,
  locks: (place, _text, _form, known) => known.locks ?? place.known,
};

const OUNCES = 16n;
const HALF_UP_TO_A_GRAM = 3;
/**
 * Pounds and ounces in kg, a half gram up.
 * @type {(place: Place, lb: string, oz: string) => ReturnType<typeof fromNumber>}
 */
function kgOf(place, lb, oz) {
  const [pounds, ounces] = [["lb", lb], ["oz", oz]].map(([name, text]) => (text ? readNumber(text, name) : fromNumber(0)));
  if (ounces.digits < 0n || compare(ounces, fromNumber(Number(OUNCES))) >= 0) throw new Fault(`${writeNumber(ounces)} oz`, `0 to less than ${OUNCES} oz`, `A pound has ${OUNCES} ounces.`);
  if (pounds.digits < 0n) throw new Fault(`${writeNumber(pounds)} lb`, "0 lb or more", "Check the number and its unit.");
  const all = minus({ digits: pounds.digits * OUNCES, places: pounds.places }, { digits: -ounces.digits, places: ounces.places });
  const each = fromNumber(place.ounce_kg);
  const places = all.places + each.places;
  const step = 10n ** BigInt(places - HALF_UP_TO_A_GRAM);
  return { digits: (all.digits * each.digits * 2n + step) / (step * 2n), places: HALF_UP_TO_A_GRAM };
}

/**
 * Refuse a weight that is far from the last, until a second weighing has shown the same.
 * @type {(place: Place, kg: number, last: number) => void}
 */
function checkJump(place, kg, last) {
  const ratio = kg / last;
  if (Math.abs(ratio - 1) <= place.jump) return;
  const slip = Math.max(ratio, 1 / ratio);
  const hint = Math.abs(slip * place.pound_kg - 1) < 0.15 ? "It looks like pounds read as kg, or the other way. " : "";
  const percent = Math.floor(Math.abs(ratio - 1) * 100 + 0.5);
  throw new Fault(
    `${writeNumber(fromNumber(kg))} kg, ${percent} % ${ratio > 1 ? "more" : "less"} than the ${writeNumber(fromNumber(last))} kg before`,
    `${Math.floor(place.jump * 100 + 0.5)} % or less, or a second weighing that shows the same`,
    `${hint}Weigh once more. If it shows the same, tick that it does, and tell the vet.`);
}

/** @type {(text: string) => void} */
function checkPlain(text) {
  if (CONTROL.test(text)) throw new Fault("A text that holds control characters", "ordinary text", "Write it again.");
  if (!SEEN.test(text)) throw new Fault("A text that shows nothing", "ordinary text", "Write it again.");
}

/** @type {(what: string, text: string, most: number, remedy: string) => void} */
function tooLong(what, text, most, remedy) {
  const long = Array.from(text).length;
  if (long > most) throw new Fault(`${what} of ${writeNumber(fromNumber(long))} characters`, `${writeNumber(fromNumber(most))} or fewer`, remedy);
}

/** @type {(value: unknown) => value is Place} */
const isPlace = (value) => typeof value === "object" && value !== null && "typed" in value;

/**
 * Refuse a number whose other half is missing, or that says a second time what another says.
 * @type {(place: Place, form: Typed) => void}
 */
function checkBeside({ needs = [], without = [], typed, field }, form) {
  const isTyped = (/** @type {string} */ name) => Boolean(strip(form[name] ?? ""));
  const here = typed.some(isTyped);
  for (const name of needs) {
    if (here !== isTyped(name)) throw new Fault(`Only one of ${field} and ${name.replaceAll("_", " ")}`, "both of them, or neither", "Fill in the other one, or empty this one.");
  }
  for (const name of without) {
    if (here && isTyped(name)) throw new Fault(`Both ${field} and ${name.replaceAll("_", " ")}`, "one of them", "Keep the one that you trust more.");
  }
}

/** @type {(place: Place, form: Typed, known: Known) => unknown} */
function read(place, form, known) {
  checkBeside(place, form);
  const told = place.typed.find((name) => place.instead && Object.hasOwn(place.instead, form[name] ?? ""));
  if (told) return place.instead[form[told] ?? ""];
  const texts = place.typed.map((name) => strip((form[name] ?? "").replaceAll("\r\n", "\n")));
  return READ[place.as](place, texts.find(Boolean) ?? "", form, known);
}

/**
 * The payload that a form makes, or a Fault.
 * @param fact  the payload, with a place where a person types
 * @param form  the fields of the form with what they say
 * @param known what this phone knows besides: the bottle in use of each medicine, the locks that hold, the day it is
 * @type {(fact: { [key: string]: unknown }, form: Typed, known?: Known) => { [key: string]: any }}
 */
export function fillIn(fact, form, known = {}) {
  /** @type {(value: any) => any} */
  const fill = (value) => {
    if (isPlace(value)) return read(value, form, known);
    if (Array.isArray(value)) return value.map(fill);
    return typeof value === "object" && value !== null ? fillIn(value, form, known) : value;
  };
  const filled = Object.entries(fact).map(([key, value]) => [key, fill(value)]);
  return Object.fromEntries(filled.filter(([, value]) => value !== null));
}

/**
 * Whether nothing was typed in any place of a fact.
 * @type {(fact: { [key: string]: unknown }, form: Typed) => boolean}
 */
export const isEmpty = (fact, form) =>
  Object.values(fact).filter(isPlace).every((place) => place.typed.every((name) => !strip(form[name] ?? "")));

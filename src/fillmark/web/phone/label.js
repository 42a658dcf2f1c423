// What a label says: its strength, its last day, and whether a pen slipped; see core/entries.py, core/shelf_life.py and
// core/order_checks.py. tests/journeys/test_the_phones_forms.py holds both to the same texts.
import { Fault, PIECES, WHITE, cut, ofPiece, oneLine, readGiven, readLiquid } from "./amounts.js";

/**
 * A strength as a label prints it, or a Fault.
 * @type {(text: string) => string}
 */
export function readPrinted(text) {
  const piece = ofPiece(text, Object.values(PIECES).join("|"));
  if (piece === undefined) readLiquid(text, "strength");
  else if (readGiven(piece, "strength").amount.digits === 0n) {
    throw new Fault(`"${cut(text, 40)}" for strength`, 'a strength above 0, such as "5 mg/tablet"', "Copy the strength from the label.");
  }
  return text;
}

/**
 * Which slip of a pen would turn one strength into the other, in words; null for none.
 * @type {(value: Strength | null, reference: Strength | null, told: { slips: [number, string, string][], closeness: number }) => string | null}
 */
export function findSlip(value, reference, { slips, closeness }) {
  if (!value || !reference) return null;
  const ratio = (Number(value.of) / Number(value.in)) / (Number(reference.of) / Number(reference.in));
  for (const [times, words, why] of slips) {
    if (Math.abs(ratio / times - 1) <= closeness) return `${words} as much: ${why}`;
    if (Math.abs(ratio * times - 1) <= closeness) return `${words} less: ${why}`;
  }
  return null;
}

const MONTHS = ["january", "february", "march", "april", "may", "june", "july", "august", "september", "october", "november", "december"];
const PRINTED = new RegExp(`^[${WHITE}]*(exp\\.?|expiry(?:[${WHITE}]+date)?|expires|use[${WHITE}]+by|use[${WHITE}]+before)?[${WHITE}]*:?[${WHITE}]*`
  + `((?:the[${WHITE}]+)?end(?:[${WHITE}]+of)?[${WHITE}]+)?(?:([a-z]+)[${WHITE}]+([0-9]{4})|([0-9]{1,2})[${WHITE}]*/[${WHITE}]*([0-9]{4}))[${WHITE}]*$`, "i");

/** @type {(year: number, month: number, day: number) => string} */
const isoDay = (year, month, day) => new Date(Date.UTC(year, month - 1, day)).toISOString().slice(0, 10);

/**
 * A day that the calendar has, as year-month-day; null for another text.
 * @type {(text: string) => string | null}
 */
export function readDay(text) {
  const match = /^([0-9]{4})-([0-9]{2})-([0-9]{2})$/.exec(text);
  if (!match || match[1] === "0000") return null;
  const made = new Date(`${text}T00:00:00Z`);
  return !Number.isNaN(made.getTime()) && made.toISOString().slice(0, 10) === text ? text : null;
}

/**
 * The last usable day that a label's words mean.
 * @type {(text: string) => string}
 */
export function readPrintedDay(text) {
  const bad = () => new Fault(`"${cut(oneLine(text), 40)}" as an expiry`,
    "a month with its year (March 2026 or 03/2026), or a day as 2026-03-31", "Copy it from the label; where it cannot be read, ask the pharmacy.");
  const day = new RegExp(`^[^0-9]*([0-9]{4}-[0-9]{2}-[0-9]{2})[${WHITE}]*$`).exec(text);
  if (day) {
    if (!readDay(day[1])) throw bad();
    const [year, month, date] = day[1].split("-").map(Number);
    return new RegExp(`^[${WHITE}]*use[${WHITE}]+before`, "i").test(text) ? isoDay(year, month, date - 1) : day[1];
  }
  const match = PRINTED.exec(text);
  if (!match) throw bad();
  const [, words = "", end, name, nameYear, number, numberYear] = match;
  const year = Number(nameYear ?? numberYear);
  const found = name && name.length >= 3 ? MONTHS.filter((one) => one.startsWith(name.toLowerCase())) : [];
  if (!number && found.length !== 1) throw bad();
  const month = number ? Number(number) : MONTHS.indexOf(found[0]) + 1;
  if (month < 1 || month > 12 || year < 1) throw bad();
  const isBefore = oneLine(words).toLowerCase() === "use before" && !end;
  return isBefore ? isoDay(year, month, 0) : isoDay(year, month + 1, 0);
}

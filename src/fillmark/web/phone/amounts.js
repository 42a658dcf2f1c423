// Numbers and strengths as people write them: read exactly, and refused in the same words as core/quantities.py.
// tests/journeys/test_the_phones_forms.py holds both to the same texts.

/** Something that a person typed and can mend: what came, what is allowed, what to do. */
export class Fault extends Error {
  /** @param {string} got @param {string} allowed @param {string} remedy */
  constructor(got, allowed, remedy) {
    super(`${got}. Allowed: ${allowed}. ${remedy}`);
  }
}

export const WHITE = "\\t-\\r\\x1c-\\x20\\x85\\xa0\\u1680\\u2000-\\u200a\\u2028\\u2029\\u202f\\u205f\\u3000";
const ENDS = new RegExp(`^[${WHITE}]+|[${WHITE}]+$`, "g");
const SPACES = new RegExp(`[${WHITE}]+`);
/** @type {(text: string) => string} */
export const strip = (text) => text.replace(ENDS, "");
/** @type {(text: string, most: number) => string} */
export const cut = (text, most) => Array.from(text).slice(0, most).join("");
/** @type {(text: string) => string} */
export const oneLine = (text) => strip(text).split(SPACES).join(" ");

/** @type {(text: string) => string} */
function short(text) {
  const line = oneLine(text);
  return Array.from(line).length <= 40 ? line : `${cut(line, 39)}…`;
}

// A decimal is its digits and how many of them stand behind the point.

/** @type {(places: number) => bigint} */
const tens = (places) => 10n ** BigInt(places);
/** @type {(digits: number | string | bigint, places?: number) => Decimal} */
export const decimal = (digits, places = 0) => ({ digits: BigInt(digits), places });
/** @type {(one: Decimal, places: number) => bigint} */
const raise = (one, places) => one.digits * tens(places - one.places);
/** @type {(one: Decimal, other: Decimal) => number} */
const level = (one, other) => Math.max(one.places, other.places);

/** @type {(value: number | string) => Decimal} */
export function fromNumber(value) {
  const [written, exponent = "0"] = String(value).split("e");
  const [whole, fraction = ""] = written.split(".");
  const places = fraction.length - Number(exponent);
  const digits = BigInt(whole + fraction);
  return places >= 0 ? { digits, places } : { digits: digits * tens(-places), places: 0 };
}

/** @type {(one: Decimal, other: Decimal) => Decimal} */
export const minus = (one, other) => ({ digits: raise(one, level(one, other)) - raise(other, level(one, other)), places: level(one, other) });
/** @type {(one: Decimal, other: Decimal) => number} */
export function compare(one, other) {
  const apart = minus(one, other).digits;
  return apart < 0n ? -1 : Number(apart > 0n);
}

/**
 * Every digit, without a trailing zero.
 * @type {(one: Decimal) => string}
 */
export function plain({ digits, places }) {
  const sign = digits < 0n ? "-" : "";
  const all = String(digits < 0n ? -digits : digits).padStart(places + 1, "0");
  const whole = all.slice(0, all.length - places);
  const fraction = all.slice(all.length - places).replace(/0+$/, "");
  return `${sign}${whole}${fraction && `.${fraction}`}`;
}

/**
 * As people may read it: four digits, a comma between thousands, no trailing zero.
 * @type {(one: Decimal) => string}
 */
export function writeNumber(one) {
  if (one.digits === 0n) return "0";
  const size = String(one.digits < 0n ? -one.digits : one.digits).length;
  const keeps = Math.max(0, 3 - (size - 1 - one.places));
  const [whole, fraction] = plain(keeps < one.places ? rounded(one, keeps) : one).split(".");
  return whole.replace(/\B(?=(\d{3})+$)/g, ",") + (fraction ? `.${fraction}` : "");
}

/**
 * To so many places, a half to the even digit.
 * @type {(one: Decimal, keeps: number) => Decimal}
 */
function rounded({ digits, places }, keeps) {
  const step = tens(places - keeps);
  const size = digits < 0n ? -digits : digits;
  const twice = (size % step) * 2n;
  const whole = size / step;
  const up = twice > step || (twice === step && whole % 2n === 1n);
  return { digits: (whole + (up ? 1n : 0n)) * (digits < 0n ? -1n : 1n), places: keeps };
}

const MOST_DIGITS = 30;
const GROUPS = /^[0-9]{1,3}(?:[ \u00a0\u202f][0-9]{3})+/;

/**
 * A number as people write it, with a point or a comma; refused where it invites a tenfold slip.
 * @type {(text: string, field: string) => Decimal}
 */
export function readNumber(text, field) {
  const grouped = strip(text).replace(GROUPS, (found) => found.replace(/[ \u00a0\u202f]/g, ""));
  const match = /^([+-]?)([0-9]*)(?:([.,])([0-9]*))?$/.exec(grouped);
  const came = `"${short(text)}" for ${field}`;
  if (!match || !(match[2] || match[4])) {
    throw new Fault(came, "a number such as 0.5 or 12", "Write digits, with one decimal point or comma if it is needed.");
  }
  const [, sign, whole, mark, fraction = ""] = match;
  if (mark && !whole) {
    throw new Fault(`${came}, with no zero before the point`, `0.${fraction}`,
      `A lone point is overlooked and read as "${fraction}". Write "0.${fraction}" if that is meant.`);
  }
  if (mark === "," && fraction.length === 3 && whole !== "0") {
    throw new Fault(`${came}, which reads as ${whole}${fraction} or as ${whole}.${fraction}`, `${whole}${fraction} or ${whole}.${fraction}`,
      "Write the one that is meant, without a comma.");
  }
  if (mark && !fraction.replace(/0+$/, "")) {
    throw new Fault(`${came}, with nothing but zeros after the point`, whole,
      `An overlooked point makes it ten times as much. Write "${whole}" if that is meant.`);
  }
  if (whole.length > 1 && whole.startsWith("0")) {
    throw new Fault(`${came}, with a zero in front`, whole.replace(/^0+/, "") || "0",
      "A point may have been lost. Write the number as it is on the label.");
  }
  if (whole.length + fraction.length > MOST_DIGITS) {
    throw new Fault(came, "a number of ordinary length", "Write the number as it is on the label.");
  }
  const read = decimal(whole + fraction, fraction.length);
  return sign === "-" ? { ...read, digits: -read.digits } : read;
}

const AMOUNT = new RegExp(`^[${WHITE}]*([+-]?(?:[0-9][0-9${WHITE}]*)?(?:[.,][0-9]+)?)[${WHITE}]*([^0-9][^\\n]*?)?[${WHITE}]*$`);
/** @type {{ [unit: string]: string }} */
const INSTEAD = {
  "µg": "mcg", "μg": "mcg", ug: "mcg", cc: "mL", ml: "mL", ML: "mL",
  U: "units", u: "units", IU: "units", iU: "units", iu: "units", meq: "mEq", MEQ: "mEq",
};
/** @type {{ [unit: string]: Decimal }} */
export const MASSES = { mg: decimal(1), mcg: decimal(1, 3), g: decimal(1000) };
/** @type {{ [unit: string]: Decimal }} */
const VOLUMES = { mL: decimal(1), L: decimal(1000) };
/** @type {{ [unit: string]: Decimal }} */
const OTHERS = { units: decimal(1), mEq: decimal(1), mmol: decimal(1) };
const OTHER = /(?:^|[^A-Za-z])(?:units?|mEq|mmol|IU|iU|iu|U|u|meq|MEQ)$/;

/** @type {(text: string, field: string, units: { [unit: string]: Decimal }) => Decimal} */
export function readAmount(text, field, units) {
  const match = AMOUNT.exec(text);
  const names = Object.keys(units).join(", ");
  const unit = strip(match?.[2] ?? "");
  const came = `"${short(text)}" for ${field}`;
  if (!match?.[1]) throw new Fault(came, `a number and its unit (${names})`, "Write the amount as it is on the label, number first.");
  if (!unit) throw new Fault(`${came}, without a unit`, names, "Write the unit behind the number.");
  if (!Object.hasOwn(units, unit)) {
    const instead = Object.hasOwn(INSTEAD, unit) ? INSTEAD[unit] : undefined;
    throw new Fault(`${came}, in "${short(unit)}"`, names, instead && Object.hasOwn(units, instead)
      ? `Write "${instead}": "${unit}" is misread.` : "Write it in one of these units, as on the label.");
  }
  const read = readNumber(match[1], field);
  const made = { digits: read.digits * units[unit].digits, places: read.places + units[unit].places };
  if (made.digits < 0n && (units === MASSES || units === VOLUMES)) {
    const name = units === MASSES ? "mass" : "volume";
    const base = units === MASSES ? "mg" : "mL";
    throw new Fault(`A ${name} of ${writeNumber(made)} ${base}`, `0 ${base} or more`, "Check the number.");
  }
  return made;
}

/**
 * A mass, or units, mEq or mmol: what of, and how much.
 * @type {(text: string, field: string) => { unit: string, amount: Decimal }}
 */
export function readGiven(text, field) {
  const bare = strip(text);
  if (!OTHER.test(bare)) return { unit: "mg", amount: readAmount(text, field, MASSES) };
  const words = bare.endsWith("unit") && /[0-9]$/.test(strip(bare.slice(0, -4))) ? bare.concat("s") : bare;
  const unit = Object.keys(OTHERS).find((one) => words.endsWith(one) && !/[A-Za-z]$/.test(words.slice(0, -one.length)));
  const amount = readAmount(words, field, unit ? { [unit]: OTHERS[unit] } : OTHERS);
  if (amount.digits < 0n) throw new Fault(`"${cut(text, 40)}" for ${field}`, `0 ${unit} or more`, "Check the number.");
  return { unit: /** @type {string} */ (unit), amount };
}

/** @type {(text: string, field: string) => { of: bigint, in: bigint, unit: string }} */
function readOther(text, field) {
  const came = `"${cut(text, 40)}" for ${field}`;
  const slash = text.indexOf("/");
  if (slash < 0) {
    throw new Fault(`${came}, without what it is in`, "units/mL, mEq/mL or mmol/mL", "Copy the strength from the bottle, such as 40 units/mL.");
  }
  const { unit, amount } = readGiven(text.slice(0, slash), field);
  const rest = text.slice(slash + 1);
  const volume = readAmount(new RegExp(`^[${WHITE}]*[\\d.,]`).test(rest) ? rest : `1 ${rest}`, field, VOLUMES);
  if (volume.digits < 0n) throw new Fault(`A volume of ${writeNumber(volume)} mL`, "0 mL or more", "Check the number.");
  if (amount.digits === 0n || volume.digits === 0n) {
    throw new Fault(came, `more than 0 ${unit} in more than 0 mL`, "Copy the strength from the bottle.");
  }
  return { of: amount.digits * tens(volume.places), in: volume.digits * tens(amount.places), unit };
}

/**
 * The mg, units, mEq or mmol in a mL, as a fraction of two whole numbers.
 * @type {(text: string, field: string) => { of: bigint, in: bigint, unit: string }}
 */
export function readLiquid(text, field) {
  if (OTHER.test(strip(text.split("/")[0]))) return readOther(text, field);
  const came = `"${short(text)}" for ${field}`;
  const copy = "Copy the strength from the bottle.";
  const percent = new RegExp(`^[${WHITE}]*([^${WHITE}]+)[${WHITE}]*%[${WHITE}]*$`).exec(text);
  const over = (/** @type {Decimal} */ mass, /** @type {Decimal} */ volume) => {
    if (mass.digits <= 0n) throw new Fault(came, "more than 0 mg/mL", copy);
    return { of: mass.digits * tens(volume.places), in: volume.digits * tens(mass.places), unit: "mg" };
  };
  if (percent) {
    const read = readNumber(percent[1], field);
    return over({ ...read, digits: read.digits * 10n }, decimal(1));
  }
  const slash = text.indexOf("/");
  if (slash < 0) throw new Fault(`${came}, without what it is in`, "mg/mL, mcg/mL, mg/5 mL or %", "Copy the strength from the bottle, such as 10 mg/mL.");
  let volumeText = text.slice(slash + 1);
  if (!new RegExp(`^[${WHITE}]*[\\d.,]`).test(volumeText)) volumeText = `1 ${volumeText}`;
  const mass = readAmount(text.slice(0, slash), field, MASSES);
  const volume = readAmount(volumeText, field, VOLUMES);
  if (volume.digits === 0n) throw new Fault(came, "an amount of liquid above 0 mL", copy);
  return over(mass, volume);
}

/** @type {{ [form: string]: string }} */
export const PIECES = { tablet: "tablet", capsule: "capsule", powder: "sachet", drops: "drop", "nebulizer vial": "vial" };
/** @type {(text: string, piece: string) => string | undefined} */
export const ofPiece = (text, piece) => new RegExp(`^([^\\n]*)/[${WHITE}]*(?:${piece})[${WHITE}]*$`).exec(text)?.[1];

/**
 * What a bottle holds in each mL or piece, by the form of its medicine; null where that cannot be read.
 * @type {(text: string | null | undefined, form: string) => Strength | null}
 */
export function strengthOf(text, form) {
  if (text === null || text === undefined) return null;
  try {
    const piece = PIECES[form] && ofPiece(text, PIECES[form]);
    if (typeof piece === "string") {
      const { unit, amount } = readGiven(piece, "strength");
      return amount.digits === 0n ? null : { of: amount.digits, in: tens(amount.places), unit, isPiece: true };
    }
    if (["tablet", "capsule"].includes(form)) return null;
    return { ...readLiquid(text, "strength"), isPiece: false };
  } catch {
    return null;
  }
}

/** @type {(one: Strength, other: Strength) => boolean} */
export const isSameStrength = (one, other) => one.isPiece === other.isPiece && one.unit === other.unit && one.of * other.in === other.of * one.in;

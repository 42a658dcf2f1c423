// Whether a second reading is the dose.
import { compare, decimal, fromNumber, minus } from "../phone/amounts.js";

/**
 * Within half a step of the syringe, or the same count; see core/doses/second_check.agrees.
 * @type {(read: Reading, drawn: Drawn) => boolean}
 */
export function agrees({ ml, pieces }, drawn) {
  if (drawn.ml !== undefined) {
    if (ml === undefined) return false;
    const off = minus(fromNumber(ml), fromNumber(drawn.ml));
    const size = { ...off, digits: off.digits < 0n ? -off.digits : off.digits };
    return compare({ ...size, digits: size.digits * 2n }, fromNumber(drawn.step_ml ?? "0")) <= 0;
  }
  if (pieces === undefined) return false;
  const [over, under] = (drawn.pieces ?? "0/1").split("/").map((one) => decimal(one));
  const counted = fromNumber(pieces);
  return compare({ ...counted, digits: counted.digits * under.digits }, over) === 0;
}

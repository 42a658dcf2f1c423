// The second check on the phone: the reading is kept first, and only then held against the mark, which this page never has.
import { facts, knownEntries } from "./press.js";
import { onChange } from "./send.js";
import { compare, decimal, fromNumber, minus, writeNumber } from "./amounts.js";
import "./phone.js";

const read = new URLSearchParams(location.search).get("read");
const walk = location.pathname.replace(/second-check\/[^/]+\/$/, "");
const find = (selector) => document.querySelector(selector);

/** What was to be drawn, from the page of the session. */
async function drawnFor(medicine) {
  const text = await fetch(walk, { credentials: "same-origin" }).then((reply) => reply.text()).catch(() => "");
  const told = new DOMParser().parseFromString(text, "text/html").getElementById("facts");
  return told ? JSON.parse(told.textContent).steps?.find((step) => step.medicine === medicine)?.drawn ?? null : null;
}

/** Whether a reading is the dose: within half a step of the syringe, or the same count; see core/double_check.agrees. */
export function agrees({ ml, pieces }, drawn) {
  if (drawn.ml !== undefined) {
    if (ml === undefined) return false;
    const off = minus(fromNumber(ml), fromNumber(drawn.ml));
    const size = { ...off, digits: off.digits < 0n ? -off.digits : off.digits };
    return compare({ ...size, digits: size.digits * 2n }, fromNumber(drawn.step_ml)) <= 0;
  }
  if (pieces === undefined) return false;
  const [over, under] = drawn.pieces.split("/").map((one) => decimal(one));
  const counted = fromNumber(pieces);
  return compare({ ...counted, digits: counted.digits * under.digits }, over) === 0;
}

function say({ ml, pieces }, drawn) {
  if (ml !== undefined) return `${writeNumber(fromNumber(ml))} mL`;
  return `${writeNumber(fromNumber(pieces))} ${drawn?.piece ?? "piece"}${pieces === "1" ? "" : "s"}`;
}

let isShown = false;
async function show() {
  if (isShown || !read || !find("[data-ask]")) return;
  const one = (await knownEntries()).find(({ id }) => id === read);
  if (!one || one.payload.kind !== "second_check") return;
  isShown = true;
  const drawn = await drawnFor(one.payload.medicine);
  const place = find(drawn ? (agrees(one.payload, drawn) ? "[data-agrees]" : "[data-differs]") : "[data-not-compared]");
  place.querySelector("[data-by]").textContent = one.payload.reader_name ?? one.byName;
  place.querySelector("[data-read]").textContent = say(one.payload, drawn);
  if (place.matches("[data-agrees], [data-not-compared]")) find("[data-ask]").remove();
  place.hidden = false;
  place.focus();
}

if (facts && read) {
  onChange(show);
  show();
}

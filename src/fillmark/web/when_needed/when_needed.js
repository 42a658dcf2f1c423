// A medicine for when it is needed, on a page that was kept from before: what this phone knows since then closes it. No mark of
// an old strength is shown, nothing goes through a locked tube, and what the gate has against a dose is told.
import { onChange } from "../phone/send.js";
import { facts, knownEntries } from "../phone/press.js";
import { actOf, checkAct } from "../phone/gate.js";
import { bottlesInUse, isLocked, lockedByStrength } from "../phone/record.js";
import "../phone/phone.js";

const form = document.querySelector("[data-needed]");
const medicine = form?.dataset.needed;

/** @type {(entries: Entry[], now: number) => string} */
function whyNot(entries, now) {
  if (lockedByStrength(facts, entries).has(medicine)) {
    return `The new bottle says ${bottlesInUse(facts, entries)[medicine].strength}, and the plan has another strength. Draw none of it until a lead has confirmed it.`;
  }
  if (form.dataset.route === "tube" && isLocked(facts, entries)) return "Feeding is locked: nothing goes through the tube until the vet has said so.";
  const act = actOf(facts, { kind: "medicine_given", medicine, outcome: "given" }, now);
  return checkAct(facts, entries, act, now).filter((one) => one.weight === "asked" && one.code !== "not-checked").map((one) => one.text).join(" ");
}

async function show() {
  const why = whyNot(await knownEntries(), Date.now());
  document.querySelector("[data-closed]").hidden = !why;
  document.querySelector("[data-why]").textContent = why;
  for (const place of document.querySelectorAll("[data-open]")) place.hidden = Boolean(why);
}

if (form) {
  onChange(show);
  show();
}

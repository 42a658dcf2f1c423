// "What did it do?" on the phone: asked of when-needed doses that this page does not know of, and of none that is answered.
import { onChange } from "../phone/send.js";
import { facts, knownEntries } from "../phone/press.js";
import { NOTHING_WENT_IN, clock, counting } from "../phone/record.js";
import "../phone/newer.js";

const DAY = 86_400_000;
const place = document.querySelector("[data-effects]");
const made = document.getElementById("effect").content.firstElementChild;
const whenNeeded = new Map((facts.medicines ?? []).filter((one) => one.whenNeeded).map((one) => [one.id, one.name]));

/** @type {(dose: Entry) => HTMLElement} */
function question(dose) {
  const asked = document.importNode(made, true);
  const heading = asked.querySelector("h2");
  asked.dataset.of = dose.id;
  heading.id = `effect-${dose.id}`;
  asked.setAttribute("aria-labelledby", heading.id);
  heading.textContent = `What did ${whenNeeded.get(dose.payload.medicine)} do?`;
  asked.querySelector("p").textContent = `Given ${clock(dose.at, facts.zone)} by ${dose.byName}`;
  const form = asked.querySelector("form");
  form.dataset.facts = JSON.stringify(JSON.parse(form.dataset.facts).map((/** @type {Payload} */ fact) => ({ ...fact, of: dose.id })));
  form.elements.of.value = dose.id;
  return asked;
}

async function show() {
  const counted = counting(await knownEntries());
  const answered = new Set(counted.filter((one) => one.payload.kind === "effect_seen").map((one) => one.payload.of));
  const isOpen = (/** @type {Entry} */ one) => one.payload.kind === "medicine_given" && whenNeeded.has(one.payload.medicine)
    && !NOTHING_WENT_IN.includes(one.payload.outcome) && one.at >= Date.now() - DAY && !answered.has(one.id);
  for (const asked of place.querySelectorAll("[data-of]")) if (answered.has(asked.dataset.of)) asked.remove();
  const shown = new Set([...place.querySelectorAll("[data-of]")].map((one) => one.dataset.of));
  place.append(...counted.filter((one) => isOpen(one) && (one.seq === null || one.seq > facts.seq) && !shown.has(one.id)).map(question));
}

onChange(show);
show();

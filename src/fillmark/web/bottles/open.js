// A new bottle on the phone: a strength that a slip of the pen would make is asked about before it is kept, and one that is
// not the plan's leads to the label.
import { facts } from "../phone/press.js";
import { isSameStrength, strengthOf } from "../phone/amounts.js";
import { findSlip } from "../phone/label.js";

const form = document.querySelector("form[data-slips]");
const asked = document.querySelector("[data-slip]");
const order = /** @type {MedicineFacts} */ (facts.medicines?.find((one) => one.id === form.dataset.medicine));
const button = form.querySelector(".big");
let isSure = form.elements.sure?.value ?? "";

form.addEventListener("fillmark:read", (/** @type {CustomEvent} */ event) => {
  const { strength } = event.detail[0];
  const [planned, printed] = [strengthOf(order.strength, order.form), strengthOf(strength, order.form)];
  const isOther = !planned || !printed || !isSameStrength(planned, printed);
  form.dataset.thenSent = isOther ? `/${facts.animal}/bottles/{id}/strength/` : form.dataset.then;
  const slip = findSlip(printed, planned, JSON.parse(form.dataset.slips));
  if (!slip || isSure === strength) return;
  event.preventDefault();
  isSure = strength;
  document.querySelector("[data-told]")?.remove();
  asked.querySelector("[data-slip-words]").textContent = `${strength} is ${slip}`;
  asked.hidden = false;
  asked.focus();
  button.textContent = `The label says ${strength}`;
});

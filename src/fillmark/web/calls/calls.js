import { answers, inOrder, localTime } from "./hours.js";

// The cards are kept on the phone as one page. Opened from a session without a signal, the kept page does not know
// which session that was: the address does, and the facts that the buttons write get it from there.
const SESSION = /^\d{4}-\d\d-\d\dT\d\d:\d\d$/;

const asked = new URLSearchParams(location.search).get("in") ?? "";
const form = document.getElementById("write");
if (form && SESSION.test(asked) && form.dataset.in !== asked) {
  for (const button of document.querySelectorAll("button[form=write]")) {
    button.dataset.facts = JSON.stringify(JSON.parse(button.dataset.facts).map((/** @type {Payload} */ fact) => ({ ...fact, session: asked })));
  }
}

// A page that was kept in the afternoon is opened at night: who answers is told by the clock of the moment.
const numbers = document.getElementById("numbers");
if (numbers) {
  const [day, clock] = localTime(numbers.dataset.zone);
  const calls = inOrder([...numbers.querySelectorAll(".call")].map((call) => (
    { call, open: answers(JSON.parse(call.dataset.hours), day, clock), isPoison: "poison" in call.dataset })));
  const clinic = calls.find((one) => !one.isPoison);
  const isNobody = clinic?.open === false;
  const title = numbers.querySelector("h2");
  calls.forEach(({ call, open }) => {
    call.classList.toggle("shut", open === false);
    call.classList.toggle("big", call === clinic?.call && open !== false);
    call.querySelector(".now").textContent = open === null ? "" : open ? ", open now" : ", shut now";
    title.before(call);
  });
  const first = document.querySelector(".call-now");
  if (first && clinic) {
    first.href = isNobody ? "#numbers" : clinic.call.href;
    first.textContent = isNobody ? "Nobody answers now: the numbers" : `Call ${clinic.call.dataset.who}`;
  }
  // a page that was kept before these words were there has no place for them
  const [nobody, silent] = ["[data-nobody]", "[data-silent]"].map((name) => document.querySelector(name));
  if (nobody) nobody.hidden = !isNobody;
  if (silent) silent.hidden = isNobody;
}

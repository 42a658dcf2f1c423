// The ten seconds of a flow test: counted down large, then the question. Without this, the page names a clock.
import { facts } from "../phone/press.js";
import { householdDay, sessionKey } from "../phone/record.js";
import "../phone/phone.js";

const start = document.querySelector("[data-start]");
const before = document.querySelector("[data-before]");
const running = document.querySelector("[data-running]");
const after = document.querySelector("[data-after]");
const shown = running?.querySelector("[data-seconds]");
const FIRST_WORDS = start?.textContent;

/** @type {(place: Element) => void} */
function show(place) {
  before.hidden = place !== before;
  running.hidden = place !== running;
  after.hidden = place !== after;
}

/** @type {(words: string) => void} */
function stop(words) {
  start.textContent = words;
  start.hidden = false;
}

function run() {
  const until = performance.now() + Number(shown.dataset.seconds) * 1000;
  show(running);
  start.hidden = true;
  running.scrollIntoView({ block: "center" });
  const timer = setInterval(() => {
    const left = Math.max(0, Math.ceil((until - performance.now()) / 1000));
    shown.textContent = left;
    if (left > 0) return;
    clearInterval(timer);
    navigator.vibrate?.(400);
    show(after);
    stop("Again");
    const heading = after.querySelector("h2");
    heading.tabIndex = -1;
    heading.focus();
  }, 100);
}

if (start && shown) {
  document.querySelector("[data-no-clock]").hidden = true;
  // What was typed wrongly comes back with its question, not with the clock.
  const isAsked = document.querySelector("[role=alert]");
  show(isAsked ? after : before);
  stop(isAsked ? "Again" : FIRST_WORDS);
  start.addEventListener("click", run);
  if (!isAsked) fillBatch();
}

/** A page that was kept from before asks about the batch that its address names, and else about one of today. */
function fillBatch() {
  const asked = new URLSearchParams(location.search);
  const [batch, madeOn] = ["batch", "made_on"].map((name) => document.getElementById(name));
  const today = householdDay(sessionKey(Date.now(), facts.zone), facts.dayStarts);
  if (asked.has("batch")) batch.value = asked.get("batch");
  madeOn.value = asked.get("made_on") ?? today;
  madeOn.max = today;
}

// The cards are kept on the phone as one page. Opened from a session without a signal, the kept page does not know
// which session that was: the address does, and the facts that the buttons write get it from there.
const SESSION = /^\d{4}-\d\d-\d\dT\d\d:\d\d$/;

/** The facts of a button, with the session they happened in. */
export function inSession(facts, session) {
  return facts.map((fact) => ({ ...fact, session }));
}

const asked = new URLSearchParams(location.search).get("in") ?? "";
const form = document.getElementById("write");
if (form && SESSION.test(asked) && form.dataset.in !== asked) {
  for (const button of document.querySelectorAll("button[form=write]")) {
    button.dataset.facts = JSON.stringify(inSession(JSON.parse(button.dataset.facts), asked));
  }
}

const DAYS = ["sun", "mon", "tue", "wed", "thu", "fri", "sat"];

/** Whether somebody answers on a day of the week (0 = Sunday) at a clock time; null where no hours are stated. */
export function answers(hours, day, clock) {
  if (!hours.length) return null;
  return hours.some(([days, opens, closes]) => {
    if (opens < closes) return days.includes(DAYS[day]) && opens <= clock && clock < closes;
    const yesterday = DAYS[(day + 6) % 7];
    return (days.includes(DAYS[day]) && clock >= opens) || (days.includes(yesterday) && clock < closes);
  });
}

/** The household's day of the week and clock time at an instant. */
export function localTime(zone, at = new Date()) {
  const parts = new Intl.DateTimeFormat("en-GB", { timeZone: zone, weekday: "short", hour: "2-digit", minute: "2-digit", hourCycle: "h23" });
  const told = Object.fromEntries(parts.formatToParts(at).map(({ type, value }) => [type, value]));
  return [DAYS.indexOf(told.weekday.toLowerCase()), `${told.hour}:${told.minute}`];
}

// A page that was kept in the afternoon is opened at night: who answers is told by the clock of the moment.
const numbers = document.getElementById("numbers");
if (numbers) {
  const [day, clock] = localTime(numbers.dataset.zone);
  const rank = (/** @type {boolean | null} */ open) => (open === null ? 1 : open ? 0 : 2);
  const calls = [...numbers.querySelectorAll(".call")].map((call) => ({ call, open: answers(JSON.parse(call.dataset.hours), day, clock) }));
  calls.sort((one, other) => rank(one.open) - rank(other.open));
  const title = numbers.querySelector("h2");
  calls.forEach(({ call, open }, place) => {
    call.classList.toggle("shut", open === false);
    call.classList.toggle("big", place === 0 && open !== false);
    call.querySelector(".now").textContent = open === null ? "" : open ? ", open now" : ", shut now";
    title.before(call);
  });
  const first = document.querySelector(".call-now");
  if (first && calls.length) {
    first.href = calls[0].call.href;
    first.textContent = `Call ${calls[0].call.dataset.who}`;
  }
}

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

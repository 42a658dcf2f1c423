// A step that takes its time, ended far too early: it is asked about once, and then kept as it was.

/** Our own choice: a third of the time that the vet ordered. */
const EARLY_FRACTION = 1 / 3;

/**
 * Whether a step that takes so many seconds cannot be over yet; a short one is never asked about.
 * @type {(seconds: number, since: number, now: number) => boolean}
 */
export const isTooEarly = (seconds, since, now) => seconds >= 20 && now - since < EARLY_FRACTION * seconds * 1000;

/** @type {(seconds: number) => string} */
export const sayTime = (seconds) => `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, "0")}`;

/** @type {{ screen: Element | null, seconds: number, since: number }} */
let step = { screen: null, seconds: 0, since: 0 };

/**
 * What is shown now, and since when its time runs.
 * @type {(screen: Element | null, seconds: number, since: number) => void}
 */
export function timeStep(screen, seconds, since) {
  step = { screen, seconds, since };
}

/** @type {(form: any, button: any, gone: number) => void} */
function ask(form, button, gone) {
  const card = document.createElement("section");
  card.className = "card card-look-again stack asked-early";
  card.setAttribute("role", "alert");
  const words = document.createElement("p");
  words.className = "strong";
  words.textContent = `Only ${sayTime(gone)} of ${sayTime(step.seconds)} are over. Too fast comes back up.`;
  const goOn = document.createElement("button");
  goOn.type = "button";
  goOn.textContent = "It is over all the same";
  const wait = document.createElement("button");
  wait.type = "button";
  wait.className = "strong";
  wait.textContent = "Not yet";
  goOn.addEventListener("click", () => { card.remove(); form.dataset.early = "yes"; form.requestSubmit(button); });
  wait.addEventListener("click", () => card.remove());
  card.append(words, wait, goOn);
  form.closest(".screen").querySelector(".thumb").before(card);
  card.scrollIntoView({ block: "center" });
  wait.focus({ preventScroll: true });
}

globalThis.document?.addEventListener("submit", (event) => {
  const form = /** @type {any} */ (event.target);
  const button = event.submitter ?? form.querySelector("button");
  if (!step.screen?.contains(form) || !button?.classList.contains("big") || form.dataset.early) return;
  const gone = (Date.now() - step.since) / 1000;
  if (!isTooEarly(step.seconds, step.since, Date.now())) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  if (!step.screen.querySelector(".asked-early")) ask(form, button, gone);
}, true);

// The pace of one fill, counted down from the moment at which its push begins; of a wait, from the entry before it.
// Without this, the page says it in words.
const isCalm = matchMedia("(prefers-reduced-motion: reduce)");
/** @type {ReturnType<typeof setInterval> | undefined} */
let timer;

/** The time is over: the phone buzzes and sounds, for eyes that are on the animal. */
function ring() {
  navigator.vibrate?.([300, 150, 300]);
  const Sound = globalThis.AudioContext;
  if (!Sound) return;
  const sound = new Sound();
  const tone = sound.createOscillator();
  tone.frequency.value = 660;
  tone.connect(sound.destination);
  tone.start();
  tone.stop(sound.currentTime + 0.4);
  tone.onended = () => sound.close();
}

/** @type {(seconds: number) => string} */
const minutes = (seconds) => `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, "0")}`;

/**
 * When the push of a step began; a page that is loaded anew goes on with it.
 * @type {(name: string) => number | null}
 */
export const pushedSince = (name) => Number(sessionStorage.getItem(`push ${name}`)) || null;

/**
 * Let the push of a step begin with a tap, where its screen waits for one.
 * @type {(screen: any, name: string, then: () => void) => void}
 */
export function waitForPush(screen, name, then) {
  const button = screen?.querySelector("[data-pace-start]");
  if (!button) return;
  button.hidden = pushedSince(name) !== null;
  button.onclick = () => {
    sessionStorage.setItem(`push ${name}`, String(Date.now()));
    button.hidden = true;
    then();
  };
}

/**
 * Count down in a screen what is left of so many seconds since an instant; without one, say how long it is to take.
 * @type {(screen: any, seconds: number, since: number | null) => void}
 */
export function showPace(screen, seconds, since) {
  clearInterval(timer);
  const place = screen?.querySelector("[data-pace-whole]");
  if (!place || !seconds) return;
  const words = place.querySelector("[data-pace-words]");
  const bar = place.querySelector("[data-pace-bar]");
  if (since === null) {
    words.textContent = `${minutes(Math.round(seconds))} from the start of the push`;
    bar.hidden = true;
    return;
  }
  const until = since + seconds * 1000;
  let isRunning = false;
  const show = () => {
    const left = Math.max(0, Math.min(seconds, Math.ceil((until - Date.now()) / 1000)));
    const shown = isCalm.matches ? Math.ceil(left / 10) * 10 : left;
    words.textContent = left > 0
      ? `${minutes(shown)} left`
      : "The time for this is over";
    bar.value = seconds - left;
    if (left > 0) isRunning = true;
    if (left > 0) return;
    clearInterval(timer);
    if (isRunning) ring();
    isRunning = false;
  };
  bar.hidden = isCalm.matches;
  timer = setInterval(show, 1000);
  show();
}

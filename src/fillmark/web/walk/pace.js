// The pace of one fill, counted down from the entry before it. Without this, the page says it in words.
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

/**
 * Count down in a screen what is left of so many seconds since an instant.
 * @type {(screen: any, seconds: number, since: number) => void}
 */
export function showPace(screen, seconds, since) {
  clearInterval(timer);
  const place = screen?.querySelector("[data-pace-whole]");
  if (!place || !seconds) return;
  const words = place.querySelector("[data-pace-words]");
  const bar = place.querySelector("[data-pace-bar]");
  const until = since + seconds * 1000;
  let isRunning = false;
  const show = () => {
    const left = Math.max(0, Math.min(seconds, Math.ceil((until - Date.now()) / 1000)));
    const shown = isCalm.matches ? Math.ceil(left / 10) * 10 : left;
    words.textContent = left > 0
      ? `${Math.floor(shown / 60)}:${String(shown % 60).padStart(2, "0")} left`
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

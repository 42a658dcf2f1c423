// The pace of one fill, counted down from what the server says is left. Without this, the page says it in words.
const place = document.querySelector("[data-pace-left]");
if (place) {
  const words = place.querySelector("[data-pace-words]");
  const bar = place.querySelector("[data-pace-bar]");
  const whole = Number(place.dataset.paceWhole);
  const until = performance.now() + Number(place.dataset.paceLeft) * 1000;
  const isCalm = matchMedia("(prefers-reduced-motion: reduce)");
  let timer;
  const show = () => {
    const left = Math.max(0, Math.ceil((until - performance.now()) / 1000));
    const shown = isCalm.matches ? Math.ceil(left / 10) * 10 : left;
    words.textContent = left > 0
      ? `${Math.floor(shown / 60)}:${String(shown % 60).padStart(2, "0")} left`
      : "The time for this fill is over";
    bar.value = Math.min(whole, whole - left);
    if (left === 0) clearInterval(timer);
  };
  bar.hidden = false;
  timer = setInterval(show, 1000);
  show();
}

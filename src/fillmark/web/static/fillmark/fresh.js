// What another phone wrote shows within a minute, and at once when this one wakes up.
const loadedAt = Date.now();
const isBusy = () => document.querySelector("form[data-pressed]") || document.querySelector("details[open]");
const isOld = (seconds) => Date.now() - loadedAt > seconds * 1000;
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "visible" && isOld(5) && !isBusy()) location.reload();
});
setInterval(() => {
  if (document.visibilityState === "visible" && isOld(55) && !isBusy()) location.reload();
}, 5000);

// The screen stays on while hands are full. Where the browser cannot, nothing is lost: the walk resumes by its entries.
async function stayAwake() {
  if (document.visibilityState !== "visible" || !("wakeLock" in navigator)) return;
  try {
    await navigator.wakeLock.request("screen");
  } catch {
    // A phone that saves its battery says no.
  }
}
document.addEventListener("visibilitychange", stayAwake);
stayAwake();

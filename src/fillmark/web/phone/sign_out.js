// Signing out, which asks while something of this person waits on the phone.
import { card, count, part } from "./phone.js";
import { putAway } from "./send.js";
import { photosWaiting, queued } from "./store.js";

// Who signs out leaves nothing of the record on this phone; what is unsent waits until they sign in again.
const signOut = document.querySelector("form[data-sign-out]");
signOut?.addEventListener("submit", async (/** @type {SubmitEvent} */ event) => {
  event.preventDefault();
  const isMine = (/** @type {QueueItem | QueuedPhoto} */ one) => one.by === signOut.dataset.signOut;
  const [items, photos] = [(await queued()).filter(isMine), (await photosWaiting()).filter(isMine)];
  if (items.length + photos.length) askBeforeSigningOut(items, photos);
  else await leave();
});

async function leave() {
  await putAway();
  signOut.submit();
}

/** @type {(items: QueueItem[], photos: QueuedPhoto[]) => void} */
function askBeforeSigningOut(items, photos) {
  document.getElementById("before-signing-out")?.remove();
  const made = card("card-look-again", part("p", `${count(items, photos)} on this phone and not sent yet. Signed out, nobody else sees that until you sign in here again.`));
  made.id = "before-signing-out";
  made.setAttribute("role", "alert");
  const [stay, go] = [part("button", "Stay signed in", { type: "button" }), part("button", "Sign out all the same", { type: "button" })];
  stay.addEventListener("click", () => made.remove());
  go.addEventListener("click", leave);
  made.append(stay, go);
  signOut.after(made);
}

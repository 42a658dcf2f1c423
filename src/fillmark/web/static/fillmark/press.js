// A press is one fact, however often the finger lands: its id is made here, at the first touch, and kept.

/** A UUID of version 7 (RFC 9562): the milliseconds since 1970, then chance. */
export function entryId(millis = Date.now(), chance = crypto.getRandomValues(new Uint8Array(10))) {
  const bytes = new Uint8Array(16);
  for (let place = 5, rest = millis; place >= 0; place -= 1) {
    bytes[place] = rest % 256;
    rest = Math.floor(rest / 256);
  }
  bytes.set(chance, 6);
  bytes[6] = 0x70 | (bytes[6] & 0x0f);
  bytes[8] = 0x80 | (bytes[8] & 0x3f);
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}

document.addEventListener("submit", (event) => {
  const form = event.target;
  if (!form.matches("[data-press]")) return;
  if (form.dataset.pressed) {
    event.preventDefault();
    return;
  }
  form.dataset.pressed = "yes";
  form.elements.entry_id.value = entryId();
  form.elements.zone.value = Intl.DateTimeFormat().resolvedOptions().timeZone || form.elements.zone.value;
  form.setAttribute("aria-busy", "true");
});

// The second half of a double tap lands on the next page, where the big button of another step lies under the finger.
// The server refuses such a press too (web/walk/views.py); here it is not even sent.
const QUIET_MILLIS = 600;
const buttons = document.querySelectorAll("form[data-press] button");
buttons.forEach((button) => { button.disabled = true; });
setTimeout(() => buttons.forEach((button) => { button.disabled = false; }), QUIET_MILLIS);

// A page that comes back out of the browser's memory shows an old step: ask for the present one.
window.addEventListener("pageshow", (event) => {
  if (event.persisted) location.reload();
});

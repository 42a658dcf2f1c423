// Each step read aloud by the browser's own voice, where a person has asked for it on this phone.
const KEY = "fillmark-aloud";
const places = [...document.querySelectorAll("[data-aloud]")];

/** @type {(name: string) => void} */
function read(name) {
  if (localStorage.getItem(KEY) !== "yes") return;
  const screen = document.getElementById(name);
  const parts = [...screen.querySelectorAll("h1, .draw .number, p.strong")].filter((part) => part.offsetParent);
  speechSynthesis.cancel();
  speechSynthesis.speak(new SpeechSynthesisUtterance(parts.map((part) => part.textContent.trim()).join(". ")));
}

if (places.length && "speechSynthesis" in globalThis) {
  const boxes = places.map((place) => place.querySelector("input"));
  const set = (/** @type {boolean} */ isOn) => boxes.forEach((box) => { box.checked = isOn; });
  places.forEach((place) => { place.hidden = false; });
  set(localStorage.getItem(KEY) === "yes");
  boxes.forEach((box) => box.addEventListener("change", () => {
    localStorage.setItem(KEY, box.checked ? "yes" : "no");
    set(box.checked);
    if (box.checked) read(document.querySelector(".screen-shown").id);
    else speechSynthesis.cancel();
  }));
  document.addEventListener("fillmark:shown", (event) => read(event.detail));
}

// The day's record on the phone: what this page does not hold yet, because it was kept from before or is not sent.
import { onChange } from "./send.js";
import { facts, knownEntries } from "./press.js";
import { clock, counting } from "./record.js";

const place = document.querySelector("[data-newer]");
const held = new Set([...document.querySelectorAll(".entries a")].map((link) => link.pathname.match(/\/entry\/([^/]+)\//)?.[1]));

function line(one) {
  const made = document.createElement("li");
  const at = document.createElement("p");
  at.className = "quiet";
  at.textContent = clock(one.at, facts.zone);
  const said = document.createElement("div");
  said.append(document.createElement("p"), document.createElement("p"));
  said.firstChild.textContent = one.told;
  said.lastChild.textContent = one.seq === null ? `${one.byName} · not sent yet` : one.byName;
  made.append(at, said);
  return made;
}

async function show() {
  const counted = counting(await knownEntries());
  const newer = counted.filter((one) => one.day === place.dataset.newer && !held.has(one.id));
  place.querySelector("ol").replaceChildren(...newer.map(line));
  place.hidden = newer.length === 0;
}

onChange(show);
show();

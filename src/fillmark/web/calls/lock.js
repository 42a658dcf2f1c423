// Whether feeding is locked, by what this phone knows: a lock or a clearing written here counts at once.
import { onChange } from "../phone/send.js";
import { facts, knownEntries } from "../phone/press.js";
import { clock, openLocks } from "../phone/record.js";
import { setFlags } from "../phone/flags.js";
import "../phone/phone.js";

async function show() {
  const locks = openLocks(facts, await knownEntries());
  const isLocked = locks.length > 0;
  setFlags({ locked: isLocked });
  document.querySelector(".who-words p:last-child").textContent = isLocked ? "Feeding is locked" : "Feeding is not locked";
  document.querySelector(".thumb .button").classList.toggle("big", !isLocked);
  const newest = locks.at(-1);
  if (!newest?.told) return;
  const title = document.createElement("strong");
  title.textContent = `${newest.told.replace("Feeding is locked: ", "")}.`;
  document.querySelector("[data-lock]").replaceChildren(title, ` Written by ${newest.byName} at ${clock(newest.at, facts.zone)}.`);
}

onChange(show);
show();

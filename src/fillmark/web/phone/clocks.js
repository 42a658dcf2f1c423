// What is asked of a phone whose clock is off, or has jumped back.
import { action, card, part } from "./phone.js";
import { clock } from "./record.js";
import { note } from "./store.js";
import { facts } from "./press.js";
import { status } from "./send.js";

export function clockCard() {
  const minutes = Math.round(status.clockOffSeconds / 60);
  const words = `This phone's clock is ${Math.abs(minutes)} minutes ${minutes > 0 ? "ahead of" : "behind"} the household's. Which is right?`;
  const made = card("card-look-again", part("p", words));
  made.setAttribute("role", "alert");
  const settle = async (/** @type {number} */ offset) => {
    localStorage.setItem("fillmark-clock", String(offset));
    localStorage.setItem("fillmark-clock-asked", String(status.clockOffSeconds));
  };
  made.append(action("The household's: date by it", () => settle(status.clockOffSeconds * 1000)), action("This phone's", () => settle(0)));
  return made;
}

/** @type {(heardAt: number) => HTMLElement} */
export function jumpCard(heardAt) {
  const made = card("card-look-again", part("p",
    `This phone's clock has jumped back: it heard from the household at ${clock(heardAt, facts.zone)}, which is still to come. Set the clock before you write anything down.`));
  made.setAttribute("role", "alert");
  made.append(action("The clock is right now", () => note("heardAt", Date.now())));
  return made;
}

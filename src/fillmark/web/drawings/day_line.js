// The day line on the phone: where now is, and how each session stands, by what the record and this phone hold.
import { clock, readEnded } from "../phone/record.js";

/** @type {{ [standing: string]: string }} */
const SHAPES = { "in hand": "in hand", paused: "in hand", stopped: "stopped", skipped: "left out", "not known": "not known" };
/** @type {{ [became: string]: string }} */
const ENDED = { given: "recorded", "came back up": "came back up", skipped: "left out", held: "held", "not known": "not known" };

/**
 * Draw the line anew, where the page has one of a day that holds this moment.
 * @type {(facts: Facts, views: SessionView[], now: number) => void}
 */
export function showLine(facts, views, now) {
  const link = document.querySelector(".day-line");
  const line = link?.querySelector("svg");
  if (!line) return;
  const shapes = document.getElementById("shapes").content;
  const told = [];
  for (const place of line.querySelectorAll("[data-session]")) {
    const view = views.find((one) => one.key === place.dataset.session);
    if (!view) continue;
    const isDue = view.planned && view.planned.at > now;
    const ended = view.record.standing === "ended" ? ENDED[readEnded(view.record)] : null;
    const shape = ended ?? SHAPES[view.record.standing] ?? (isDue ? "due" : "no entry");
    const drawn = shapes.querySelector(`[data-shape="${shape}"]`).cloneNode(true);
    place.replaceChildren(...drawn.childNodes);
    told.push(`${view.time.slice(11)} ${shape}`);
  }
  const { from, until, margin } = line.dataset;
  if (now < Number(from) || now >= Number(until)) return;
  const share = (now - from) / (until - from);
  const percent = Number(margin) + (100 - 2 * margin) * share;
  for (const end of ["y1", "y2"]) line.querySelector(".now")?.setAttribute(end, `${percent}%`);
  line.querySelector(".now-at")?.setAttribute("y", `${percent}%`);
  line.querySelector(".gone").setAttribute("height", `${percent - margin}%`);
  link.setAttribute("aria-label", `The day's record. ${told.join(", ")}. Now ${clock(now, facts.zone)}.`);
}

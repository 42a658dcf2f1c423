// What a press makes: entries with their ids, and what is asked before they are written. Nothing here touches a page.
import { householdDay, sessionKey } from "./record.js";

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

/**
 * Ids for facts of one press: one chance, counted up at its end, so that they sort as they were written.
 * @type {(count: number, millis?: number) => string[]}
 */
export function entryIds(count, millis = Date.now()) {
  const chance = crypto.getRandomValues(new Uint8Array(10));
  chance[9] &= 0x7f;
  return Array.from({ length: count }, () => {
    const id = entryId(millis, chance);
    chance[9] += 1;
    return id;
  });
}

/**
 * The items of the queue that a press makes; a photo comes last, about the first of the others.
 * @type {(read: Read, press: Press, facts: Facts) => QueueItem[]}
 */
export function itemsOf({ payloads, photo }, { at, zone, device, corrects, isAgain, told }, facts) {
  const ids = entryIds(payloads.length + 1);
  const about = photo?.payload.about ?? (payloads.length ? ids[0] : undefined);
  const all = photo ? [...payloads, { ...photo.payload, photo: ids[payloads.length], about }] : payloads;
  return all.map((payload, place) => {
    const id = ids[place];
    const entry = {
      id, animal_id: facts.animal, at: new Date(at).toISOString(), zone, device, payload, ...(corrects ? { corrects } : {}),
    };
    const shown = {
      id, animal: facts.animal, seq: null, at, day: householdDay(payload.session ?? sessionKey(at, facts.zone), facts.dayStarts),
      session: payload.session ?? null, payload, corrects, by: facts.me, byName: facts.myName, byRole: facts.myRole,
      told: told(payload),
    };
    return { id, entry, shown, by: facts.me, state: "waiting", isFresh: place === 0 && !isAgain, pressedAt: Date.now() };
  });
}

const ACTS = ["session_started", "fill_given", "medicine_given", "meal_ended", "came_back"];
/**
 * Whether the gate of an act is asked before this is written.
 * @type {(item: QueueItem) => boolean}
 */
export const isGated = ({ shown }) => ACTS.includes(shown.payload.kind) && !shown.corrects;

/**
 * Whether the same press waits for an answer already: it is asked once, however often the finger lands.
 * @type {(items: QueueItem[], queue: QueueItem[], animal: string) => boolean}
 */
export function isAsked(items, queue, animal) {
  const about = (/** @type {Payload} */ { kind, session, step, fill, medicine }) => JSON.stringify([kind, session, step, fill, medicine]);
  const asked = queue.filter((one) => one.state === "asked" && one.shown.animal === animal);
  return items.some((item) => asked.some((one) => about(one.shown.payload) === about(item.shown.payload)));
}

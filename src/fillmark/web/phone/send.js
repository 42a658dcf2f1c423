// Sending what is on this phone, entry by entry, and asking what is new. The protocol: docs/reference/off-line.md.
import { acknowledge, change, changePhoto, drop, dropPhoto, forget, keep, letGo, note, photosWaiting, queued, recall } from "./store.js";

const MOST_AT_ONCE = 200;
const ANSWER_MILLIS = 8000;
const PHOTO_MILLIS = 60_000;
const ASKS = ["already-recorded", "held-by-another", "needs-reason", "needs-vet", "feeding-locked", "batch-not-to-be-given"];
const DAY = 86_400_000;
const channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("fillmark") : null;
const listeners = new Set();

export const status = { isOffline: false, isSignedOut: false, clockOffSeconds: 0 };

/**
 * Call `listener` whenever what this phone holds has changed, by this page or by another one.
 * @type {(listener: () => unknown) => void}
 */
export function onChange(listener) {
  listeners.add(listener);
}
export function changed({ isOwn = true } = {}) {
  for (const listener of listeners) listener();
  if (isOwn) channel?.postMessage("changed");
}
channel?.addEventListener("message", () => changed({ isOwn: false }));

/** @type {() => string} */
const token = () => document.cookie.match(/(?:^|; )csrftoken=([^;]+)/)?.[1] ?? document.querySelector("[name=csrfmiddlewaretoken]")?.value ?? "";

let turn = Promise.resolve();
/**
 * One sender at a time over all tabs; without locks (no secure connection), over this page.
 * @type {(work: () => Promise<void>) => Promise<void>}
 */
function alone(work) {
  if (navigator.locks) return navigator.locks.request("fillmark-send", work);
  turn = turn.then(work, work);
  return turn;
}

/** Leave nothing of the record and its pages on this phone. */
export async function putAway() {
  await forget();
  for (const kept of ["fillmark-pages", "fillmark-photos"]) await globalThis.caches?.delete(kept);
}

/** @type {(path: string, options?: RequestInit & { patience?: number }) => Promise<Response>} */
function request(path, { patience = ANSWER_MILLIS, headers = {}, ...options } = {}) {
  return fetch(path, {
    ...options,
    credentials: "same-origin",
    cache: "no-store",
    redirect: "error",
    signal: /** @type {any} */ (AbortSignal).timeout(patience),
    headers: { ...headers, "X-CSRFToken": token() },
  });
}

/** @type {(path: string, options?: RequestInit) => Promise<any>} */
async function ask(path, options = {}) {
  const reply = await request(path, { headers: { "Content-Type": "application/json" }, ...options });
  if (reply.status === 401 || reply.status === 403) {
    status.isSignedOut = true;
    // A pass that has ended: nothing of the household stays on this phone but what is still to be sent.
    if (reply.status === 403 && !options.method) await putAway();
    return null;
  }
  if (!reply.ok) throw new Error(`answered ${reply.status}`);
  const answer = await reply.json();
  status.clockOffSeconds = Math.round((Date.now() - Date.parse(answer.now)) / 1000);
  return answer;
}

/**
 * The answer about a wrong clock holds as long as the clock is wrong by that much; set right, it dates by itself again.
 * @type {(facts: Facts) => void}
 */
function checkClock(facts) {
  const offset = Number(localStorage.getItem("fillmark-clock") ?? 0) / 1000;
  const isRight = Math.abs(status.clockOffSeconds) <= facts.limits.clockMinutes * 60;
  const hasMoved = offset !== 0 && Math.abs(offset - status.clockOffSeconds) > 60;
  if (!isRight && !hasMoved) return;
  localStorage.removeItem("fillmark-clock");
  localStorage.removeItem("fillmark-clock-asked");
}

/**
 * Send what waits, then take over what is new. Safe to call at any time and from any page.
 * @type {(facts: Facts) => Promise<void>}
 */
export function sync(facts) {
  return alone(async () => {
    try {
      status.isSignedOut = false;
      await flush(facts);
      if (!status.isSignedOut) await pull(facts);
      if (!status.isSignedOut) await sendPhotos(facts);
      status.isOffline = false;
      if (!status.isSignedOut) checkClock(facts);
    } catch {
      status.isOffline = true;
      await nothingIsFresh();
    }
    changed();
  });
}

/** @type {(facts: Facts) => Promise<QueueItem[]>} */
async function waiting(facts) {
  const items = await queued();
  return items.filter((item) => item.state === "waiting" && item.by === facts.me).sort((one, other) => (one.id < other.id ? -1 : 1));
}

async function nothingIsFresh() {
  for (const item of await queued()) if (item.isFresh) await change({ ...item, isFresh: false });
}

/** @type {(facts: Facts) => Promise<void>} */
async function flush(facts) {
  /** @type {Set<string>} */
  const putOff = new Set();  // what the machine could not read, by a fault of its own: sent again with the next turn
  for (;;) {
    const items = (await waiting(facts)).filter((item) => !putOff.has(item.id)).slice(0, MOST_AT_ONCE);
    if (!items.length) return;
    const fresh = items.filter((item) => item.isFresh && Date.now() - item.pressedAt < facts.limits.freshSeconds * 1000);
    const body = { entries: items.map((item) => item.entry), fresh: fresh.map((item) => item.id), set_aside: true };
    const answer = await ask("/entries", { method: "POST", body: JSON.stringify(body) });
    if (!answer) return;
    await heard(answer, items, putOff);
  }
}

/** @type {(answer: any, items: QueueItem[], putOff: Set<string>) => Promise<void>} */
async function heard(answer, items, putOff) {
  const byId = new Map(items.map((item) => [item.id, item]));
  for (const one of answer.entries) {
    const item = byId.get(one.id);
    if (!item) continue;
    byId.delete(one.id);
    if (one.ok) await acknowledge(item, one.seq);
    else if (one.set_aside) {
      await note("setAside", [...((await recall("setAside")) ?? []), item.shown.told]);
      await letGo(item.id);
    } else if (one.code === "not-read") {
      putOff.add(item.id);
      await change({ ...item, isFresh: false });
    }
    else await change({ ...item, isFresh: false, state: ASKS.includes(one.code) ? "asked" : "refused", code: one.code, message: one.message,
      despite: one.despite ?? [] });
  }
  if (byId.size === items.length) throw new Error("an answer that names none of the entries sent");
}

/**
 * Each photo follows its entry; sent twice, it is there once. One that cannot be used is told of and kept until thrown away.
 * @type {(facts: Facts) => Promise<void>}
 */
async function sendPhotos(facts) {
  const unsent = new Set((await queued()).map((item) => item.id));
  for (const photo of await photosWaiting()) {
    if (photo.by !== facts.me || photo.state !== "waiting" || unsent.has(photo.id)) continue;
    const body = new FormData();
    body.append("photo", photo.blob, "photo.jpg");
    const reply = await request(`/${photo.animal}/photo/${photo.id}/`, { method: "POST", body, patience: PHOTO_MILLIS });
    if (reply.status === 401 || reply.status === 403) {
      status.isSignedOut = true;
      return;
    }
    if (reply.ok) await dropPhoto(photo.id);
    else if (reply.status === 400) await changePhoto({ ...photo, state: "refused", message: (await reply.json()).message });
    else throw new Error(`answered ${reply.status}`);
  }
}

/** @type {(facts: Facts) => Promise<void>} */
async function pull(facts) {
  for (;;) {
    const seq = (await recall("seq")) ?? 0;
    const answer = await ask(`/entries?since=${seq}`);
    if (!answer) return;
    const household = await recall("household");
    if (household && household !== answer.household) await note("seq", 0);
    if (household && household !== answer.household && !answer.whole) continue;
    const firstDay = new Date(Date.now() - (facts.limits.keptDays + 1) * DAY).toISOString().slice(0, 10);
    await keep({ ...answer, firstDay });
    await note("heardAt", Date.now());
    if (!answer.more) return;
  }
}

/**
 * The answer to a question about a press: it happened and is written down after all (with a reason where one was given).
 * @param {QueueItem} item
 * @param {string} [reason]
 */
export async function writeAfterAll(item, reason) {
  const despite = item.despite?.length ? { despite: item.despite } : {};
  const payload = reason ? { ...item.entry.payload, reason, ...despite } : item.entry.payload;
  await change({ ...item, entry: { ...item.entry, payload }, shown: { ...item.shown, payload }, state: "waiting", isFresh: Boolean(reason), pressedAt: Date.now() });
}
/** @type {(item: QueueItem) => Promise<void>} */
export const takeBack = (item) => drop(item.id);

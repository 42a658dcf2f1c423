// Keeping the pages that are needed without a signal: the coming sessions, the record of the last days, the call cards.
import { status } from "./send.js";
import { note, recall } from "./store.js";

const PAGES = "fillmark-pages";
const AGAIN_MILLIS = 20 * 60_000;

/**
 * Ask for every page to keep, one after the other so that a slow line is left to the person, and put it by.
 * @type {(facts: Facts) => Promise<string | undefined>} why it cannot; nothing in it where it can
 */
export async function keepPages(facts) {
  if (!isSecureContext || !("serviceWorker" in navigator)) return;
  try {
    await navigator.serviceWorker.register("/worker.js", { scope: "/" });
  } catch {
    // A certificate that was clicked away, say. A lost signal is no reason, and what is kept already stays kept.
    const isUnkept = !status.isOffline && !navigator.serviceWorker.controller;
    return isUnkept ? "This phone does not trust this address yet, or this is a private window" : undefined;
  }
  await navigator.locks.request("fillmark-keep", { ifAvailable: true }, async (lock) => {
    if (!lock || navigator.connection?.saveData) return;
    const reply = await fetch("/keep", { credentials: "same-origin", redirect: "error" });
    if (!reply.ok) return;
    const { pages, version } = await reply.json();
    const kept = await recall("pages");
    if (kept && kept.version === version && kept.me === facts.me && Date.now() - kept.at < AGAIN_MILLIS) return;
    const cache = await caches.open(PAGES);
    for (const page of pages) {
      const came = await fetch(page, { credentials: "same-origin", redirect: "follow" });
      if (came.ok && !came.redirected) await cache.put(page, came);
    }
    const wanted = new Set(pages.map((/** @type {string} */ page) => new URL(page, location.href).href));
    for (const request of await cache.keys()) if (!wanted.has(request.url)) await cache.delete(request);
    await note("pages", { version, me: facts.me, at: Date.now() });
  }).catch(() => {});
  return "";
}

// The worker caches, and nothing else: entries are kept and sent by the pages. `VERSION`, `PARTS`, `OLD_PAGES` and
// `OLD_FILES` are set by the server (web/phone/views.py): the version is a hash of the parts, so that a new one replaces
// all of them together.
const STATIC = `fillmark-static-${VERSION}`;
const PAGES = "fillmark-pages";
const PHOTOS = "fillmark-photos";
/** The call cards that hold for every tube-fed animal: kept with the parts, for a phone on which nobody is signed in. */
const ANYONES = "/something-is-wrong/";
const PATIENCE_MILLIS = 2500;

addEventListener("install", (/** @type {any} */ event) => {
  event.waitUntil(caches.open(STATIC).then((cache) => cache.addAll(PARTS)).then(() => skipWaiting()));
});

addEventListener("activate", (/** @type {any} */ event) => {
  const isOld = (/** @type {string} */ name) => name.startsWith("fillmark-static-") && name !== STATIC;
  event.waitUntil(caches.keys()
    .then((names) => Promise.all(names.filter(isOld).map((name) => caches.delete(name))))
    .then(() => clients.claim()));
});

/**
 * A page's address, and those that it has in another version of the app: what is kept may be of either.
 * @type {(path: string) => string[]}
 */
function names(path) {
  const [, animal, ...rest] = path.split("/");
  const under = rest.join("/");
  const also = (/** @type {string} */ from, /** @type {string} */ to) => (under.startsWith(from) ? [`/${animal}/${to}${under.slice(from.length)}`] : []);
  return [path, ...OLD_PAGES.flatMap(([was, is]) => [...also(was, is), ...also(is, was)])];
}

/** @type {(path: string) => Promise<Response | undefined>} */
async function keptPage(path) {
  for (const name of names(path)) {
    const kept = await caches.match(name, { cacheName: PAGES });
    if (kept) return kept;
  }
  return undefined;
}

/**
 * A part of a page; a page kept from an older version asks for it under its old name.
 * @type {(request: Request) => Promise<Response>}
 */
async function part(request) {
  const href = OLD_FILES[new URL(request.url).pathname];
  // one line that leads to today's script, so that a page that also asks for that one runs it once
  if (href?.endsWith(".js")) return new Response(`export * from "${href}";`, { headers: { "Content-Type": "text/javascript" } });
  return await caches.match(href ?? request, { cacheName: STATIC }) ?? fetch(href ?? request);
}

/**
 * The page from the server, or the kept one when the server is slow or out of reach.
 * @type {(request: Request) => Promise<Response | undefined>}
 */
async function page(request) {
  const path = new URL(request.url).pathname;
  const kept = await keptPage(path);
  if (!kept) return fetch(request).catch(() => caches.match(path === ANYONES ? path : "/no-signal", { cacheName: STATIC }));
  const patience = new Promise((resolve) => setTimeout(resolve, PATIENCE_MILLIS));
  const came = await Promise.race([fetch(request).catch(() => null), patience]);
  return came && came.status < 500 ? came : kept;
}

/**
 * A photo never changes: once seen, it is kept beside the pages.
 * @type {(request: Request) => Promise<Response>}
 */
async function photo(request) {
  const cache = await caches.open(PHOTOS);
  const kept = await cache.match(request);
  if (kept) return kept;
  const came = await fetch(request);
  if (came.ok) await cache.put(request, came.clone());
  return came;
}

addEventListener("fetch", (/** @type {any} */ event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== location.origin) return;
  if (request.mode === "navigate" || pathname.endsWith("/ahead/")) {
    if (!pathname.startsWith("/sign-")) event.respondWith(page(request));
  } else if (pathname.includes("/photo/")) {
    event.respondWith(photo(request));
  } else if (pathname.startsWith("/static/") || pathname === "/manifest.webmanifest") {
    event.respondWith(part(request));
  }
});

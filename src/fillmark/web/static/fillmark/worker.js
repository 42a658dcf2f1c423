// The worker caches, and nothing else: entries are kept and sent by the pages. `VERSION` and `PARTS` are set by the
// server (web/phone/views.py): the version is a hash of the parts, so that a new one replaces all of them together.
const STATIC = `fillmark-static-${VERSION}`;
const PAGES = "fillmark-pages";
const PHOTOS = "fillmark-photos";
const PATIENCE_MILLIS = 2500;

addEventListener("install", (event) => {
  event.waitUntil(caches.open(STATIC).then((cache) => cache.addAll(PARTS)).then(() => skipWaiting()));
});

addEventListener("activate", (event) => {
  const isOld = (name) => name.startsWith("fillmark-static-") && name !== STATIC;
  event.waitUntil(caches.keys()
    .then((names) => Promise.all(names.filter(isOld).map((name) => caches.delete(name))))
    .then(() => clients.claim()));
});

/** The page from the server, or the kept one when the server is slow or out of reach. */
async function page(request) {
  const path = new URL(request.url).pathname;
  const kept = await caches.match(path, { cacheName: PAGES });
  if (!kept) return fetch(request).catch(() => caches.match("/no-signal", { cacheName: STATIC }));
  const patience = new Promise((resolve) => setTimeout(resolve, PATIENCE_MILLIS));
  const came = await Promise.race([fetch(request).catch(() => null), patience]);
  return came && came.status < 500 ? came : kept;
}

/** A photo never changes: once seen, it is kept beside the pages. */
async function photo(request) {
  const cache = await caches.open(PHOTOS);
  const kept = await cache.match(request);
  if (kept) return kept;
  const came = await fetch(request);
  if (came.ok) await cache.put(request, came.clone());
  return came;
}

addEventListener("fetch", (event) => {
  const { request } = event;
  const { origin, pathname } = new URL(request.url);
  if (request.method !== "GET" || origin !== location.origin) return;
  if (request.mode === "navigate" || pathname.endsWith("/ahead/")) {
    if (!pathname.startsWith("/sign-")) event.respondWith(page(request));
  } else if (pathname.includes("/photo/")) {
    event.respondWith(photo(request));
  } else if (pathname.startsWith("/static/") || pathname === "/manifest.webmanifest") {
    event.respondWith(caches.match(request, { cacheName: STATIC }).then((kept) => kept ?? fetch(request)));
  }
});

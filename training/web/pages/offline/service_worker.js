{# Context: reserve (JSON of our own addresses: name, page, files). #}
// Keeps one page in reserve, and what it is drawn with, for when there is no line. Nothing else:
// pages of a club hold what one member may see, and are never kept on a device.
const RESERVE = {{ reserve|safe }};

self.addEventListener("install", (event) => {
  // Asked for as nobody: the page in reserve must not name who is signed in.
  const page = new Request(RESERVE.page, { credentials: "omit", cache: "reload" });
  const keep = caches.open(RESERVE.name).then((kept) => kept.addAll([page, ...RESERVE.files]));
  event.waitUntil(keep.then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  const clear = caches
    .keys()
    .then((names) => Promise.all(names.filter((name) => name !== RESERVE.name).map((name) => caches.delete(name))));
  event.waitUntil(clear.then(() => self.clients.claim()));
});

self.addEventListener("fetch", (event) => {
  const request = event.request;
  if (request.mode === "navigate") {
    event.respondWith(fetch(request).catch(() => caches.match(RESERVE.page)));
  } else if (RESERVE.files.includes(new URL(request.url).pathname)) {
    event.respondWith(caches.match(request).then((kept) => kept ?? fetch(request)));
  }
});

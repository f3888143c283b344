// Keeps the page for when there is no network. NAMES and STAMP are set by the
// builder of the folder; a new build takes the place of the old one as a whole.
const STAMP = "unbuilt";
const NAMES = [];

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(STAMP).then((c) => c.addAll(NAMES)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(caches.keys()
    .then((all) => Promise.all(all.filter((k) => k !== STAMP).map((k) => caches.delete(k))))
    .then(() => self.clients.claim()));
});

self.addEventListener("fetch", (event) => {
  if (event.request.method !== "GET") return;
  event.respondWith(caches.match(event.request, { ignoreSearch: true })
    .then((kept) => kept || fetch(event.request)));
});

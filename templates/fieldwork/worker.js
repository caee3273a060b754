// The worker of My day: opens the day without a signal. It keeps the files that the pages are
// made of (one set for each version) and the pages that a technician has opened or will need.
// What was typed is not its business: that stays in the pages' own database until it is sent.

const SHELL = "my-day-shell-{{ version }}";
const PAGES = "my-day-pages";
const FILES = [{% for path in shell %}"{{ path|escapejs }}", {% endfor %}"/my-day/offline/"];
const PATIENCE_MS = 4000;

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(SHELL).then((cache) => cache.addAll(FILES)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (name.startsWith("my-day-shell-") && name !== SHELL) await caches.delete(name);
    }
    await self.clients.claim();
  })());
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (request.mode === "navigate") event.respondWith(page(request, url));
  else if (FILES.includes(url.pathname)) event.respondWith(file(request));
});

// A page as fresh as the signal allows; one that comes too slowly is answered from the phone.
const page = async (request, url) => {
  const cache = await caches.open(PAGES);
  const kept = () => cache.match(url.pathname, { ignoreVary: true });
  const fresh = fetch(request).then(async (answer) => {
    if (answer.ok && answer.type === "basic") await cache.put(url.pathname, answer.clone());
    return answer;
  });
  fresh.catch(() => {});
  const slow = new Promise((resolve) => setTimeout(resolve, PATIENCE_MS, "slow"));
  try {
    const first = await Promise.race([fresh, slow]);
    if (first !== "slow") return first;
    return (await kept()) ?? (await fresh);
  } catch {
    return (await kept()) ?? (await caches.match("/my-day/offline/", { ignoreVary: true }));
  }
};

const file = async (request) => (await caches.match(request, { cacheName: SHELL, ignoreVary: true })) ?? fetch(request);

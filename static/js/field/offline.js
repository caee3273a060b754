// Makes My day open without a signal, and clears the phone when its technician signs out.

import { clear, fact, note, user, waiting } from "./store.js";
import { flush } from "./send.js";

const PAGES = "my-day-pages";
const page = document.getElementById("my-day");

export const register = async () => {
  if (!("serviceWorker" in navigator)) return;
  await navigator.serviceWorker.register(page.dataset.worker, { scope: "/my-day/" });
  await navigator.serviceWorker.ready;
};

// Pages of another person, or of other days, do not stay on the phone.
const tidyPages = async (wanted) => {
  const cache = await caches.open(PAGES);
  for (const request of await cache.keys()) {
    if (!wanted.has(new URL(request.url).pathname)) await cache.delete(request);
  }
};

// In the morning, or whenever there is signal: the day and all its visits.
export const keepPages = async (addresses) => {
  if (!("caches" in window) || !navigator.onLine) return;
  if ((await fact("user")) !== user) await caches.delete(PAGES);
  await note("user", user);
  const wanted = new Set([location.pathname, "/my-day/", ...addresses]);
  await tidyPages(wanted);
  const cache = await caches.open(PAGES);
  for (const address of wanted) {
    const answer = await fetch(address, { credentials: "same-origin" }).catch(() => null);
    if (answer?.ok && !answer.redirected) await cache.put(address, answer);
  }
  document.documentElement.dataset.keptPages = String(wanted.size);
};

const forgetEverything = async () => {
  await clear();
  for (const name of await caches.keys()) if (name.startsWith("my-day-pages")) await caches.delete(name);
};

// Signing out would lose what waits: it is sent first, and lost only when the technician says so.
export const watchSignOut = () => {
  const form = document.querySelector("[data-sign-out]");
  const warning = document.querySelector("[data-sign-out-warning]");
  let warned = false;
  form?.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (navigator.onLine) await flush();
    const left = (await waiting()).length;
    if (left && !warned) {
      warned = true;
      warning.hidden = false;
      warning.textContent = `${left} ${left === 1 ? "entry is" : "entries are"} not sent yet and would be lost. Press again to sign out all the same.`;
      return;
    }
    await forgetEverything();
    form.submit();
  });
};

// Sends what waits, in the order in which it was done; one tab at a time. Nothing is taken out of
// the queue before the server has said what became of it.

import { device, settle, user, waiting } from "./store.js";

const page = document.getElementById("my-day");
const A_BATCH = 40;
const PATIENCE_MS = 20000;
const AGAIN_MS = 15000;

export let trouble = ""; // "", "no-signal", "signed-out" or "server"

const cookie = (name) => document.cookie.split("; ").find((pair) => pair.startsWith(`${name}=`))?.slice(name.length + 1) ?? "";

const bare = ({ key, seq, kind, visit, day, payload, phone_at }) => ({ key, seq, kind, visit, day, payload, phone_at });

const post = (address, body, more = {}) =>
  fetch(address, { method: "POST", body, headers: { "X-CSRFToken": cookie("__Host-csrftoken") || cookie("csrftoken"), ...more }, credentials: "same-origin", signal: AbortSignal.timeout(PATIENCE_MS) });

const sendEvents = async (events) =>
  post(page.dataset.events, JSON.stringify({ device: await device(), now: Date.now(), events: events.map(bare) }), { "Content-Type": "application/json" });

const sendPicture = async (event) => {
  const form = new FormData();
  form.set("device", await device());
  form.set("now", Date.now());
  form.set("event", JSON.stringify(bare(event)));
  form.set("picture", new Blob([event.picture.bytes], { type: event.picture.type }), "picture");
  return post(page.dataset.pictures, form);
};

// As many events as come before the next picture; a picture goes alone.
const nextOf = (events) => {
  if (events[0].picture) return events.slice(0, 1);
  const until = events.findIndex((event) => event.picture);
  return events.slice(0, Math.min(until === -1 ? events.length : until, A_BATCH));
};

const sendNext = async (events) => {
  const batch = nextOf(events);
  const answer = await (batch[0].picture ? sendPicture(batch[0]) : sendEvents(batch));
  if (answer.redirected || answer.status === 403 || answer.status === 404) return "signed-out";
  if (answer.status === 400 || answer.status === 413) return refuse(batch, answer);
  if (!answer.ok) return "server";
  const { answers, now } = await answer.json();
  for (const [at, event] of batch.entries()) await settle(event.seq, answers.find((one) => one.key === event.key) ?? answers[at], now);
  return "";
};

// Something that the server cannot read at all must not hold up the rest: one by one, and what
// alone is unreadable is shown.
const refuse = async (batch, answer) => {
  if (batch.length > 1) {
    for (const event of batch) {
      const result = await sendNext([event]);
      if (result) return result;
    }
    return "";
  }
  const said = await answer.json().catch(() => ({}));
  await settle(batch[0].seq, { state: "refused", words: said.error ?? "The server could not read this." }, Date.now());
  return "";
};

const drain = async () => {
  for (;;) {
    const events = (await waiting()).filter((event) => event.user === user);
    if (!events.length) return "";
    try {
      const result = await sendNext(events);
      if (result) return result;
    } catch {
      return "no-signal";
    }
  }
};

export const flush = () =>
  navigator.locks.request("redbud-my-day-send", async () => {
    const before = (await waiting()).length;
    trouble = await drain();
    document.dispatchEvent(new CustomEvent("sent", { detail: { any: before > (await waiting()).length } }));
  });

export const keepSending = () => {
  const soon = () => void flush();
  addEventListener("online", soon);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && soon());
  setInterval(async () => { if ((await waiting()).length) soon(); }, AGAIN_MS);
  soon();
};

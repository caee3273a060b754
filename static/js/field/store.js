// What was done on this phone, kept in the browser's database until the server has it.
// Each event gets a key of its own, so that sending it twice does it once.

import { openDB } from "../../vendored/idb/index.js";

const opened = openDB("redbud-my-day", 1, {
  upgrade(db) {
    const events = db.createObjectStore("events", { keyPath: "seq", autoIncrement: true });
    events.createIndex("state", "state");
    db.createObjectStore("facts");
  },
});

const page = document.getElementById("my-day");
export const user = Number(page.dataset.user);
export const day = page.dataset.day;
const DAY_MS = 24 * 60 * 60 * 1000;
const KEPT_MS = 3 * DAY_MS;

const changed = () => document.dispatchEvent(new CustomEvent("kept"));

// `strict`: answered only when the disk has it, so that a killed tab or an empty battery loses nothing.
const write = async (work) => {
  const transaction = (await opened).transaction("events", "readwrite", { durability: "strict" });
  const result = await work(transaction.store);
  await transaction.done;
  return result;
};

export const keep = async (kind, visit, payload, picture = null) => {
  const event = { key: crypto.randomUUID(), kind, visit, day, user, payload, picture, phone_at: Date.now(), state: "waiting", words: "" };
  event.seq = await write((store) => store.add(event));
  changed();
  return event;
};

export const settle = async (seq, answer, now) => {
  await write(async (store) => {
    const event = await store.get(seq);
    if (!event) return;
    Object.assign(event, { state: answer.state, words: answer.words, instead: answer.instead, sent_at: now });
    if (answer.state !== "waiting") event.picture = null;
    await store.put(event);
  });
  changed();
};

const everything = async () => (await opened).getAll("events");
export const waiting = async () => (await everything()).filter((event) => event.state === "waiting");
export const mine = async () => (await everything()).filter((event) => event.user === user);
export const ofDay = async () => (await mine()).filter((event) => event.day === day);
export const ofVisit = async (visit) => (await ofDay()).filter((event) => event.visit === visit);

// A refusal or a question was read and answered: it no longer asks for attention.
export const forget = async (seqs) => {
  await write(async (store) => { for (const seq of seqs) await store.delete(seq); });
  changed();
};

export const fact = async (name) => (await opened).get("facts", name);
export const note = async (name, value) => (await opened).put("facts", value, name);
export const drop = async (name) => (await opened).delete("facts", name);

export const device = async () => {
  const known = await fact("device");
  if (known) return known;
  const made = crypto.randomUUID();
  await note("device", made);
  return made;
};

// What the server has had for days is not needed any more.
export const tidy = async () => {
  const old = (await everything()).filter((event) => event.state === "applied" && event.phone_at < Date.now() - KEPT_MS);
  if (old.length) await forget(old.map((event) => event.seq));
};

export const clear = async () => {
  const db = await opened;
  await Promise.all([db.clear("events"), db.clear("facts")]);
};

// Readings: checked against their bounds on the phone, kept, sent, and answered beside the field.
// What is only half typed is kept as a draft, so that a killed tab does not lose it.

import { drop, fact, forget, keep, note, ofVisit } from "./store.js";
import { flush } from "./send.js";
import { complain, mark, quiet } from "./marks.js";
import { checkDanger } from "./procedures.js";

const visit = Number(document.getElementById("visit").dataset.visit);
const madeAt = Number(document.getElementById("my-day").dataset.made) * 1000;
const PLAIN = /^[-+]?(\d+([.,]\d*)?|[.,]\d+)$/;

const find = (system, field) => document.querySelector(`[data-reading][data-system="${system}"][data-field="${field}"]`);
const draftOf = ({ system, field }) => `draft:${visit}:${system}:${field}`;
const input = (reading) => reading.querySelector("input[inputmode]");
const typedIn = (reading) => (reading.dataset.kind === "number" ? input(reading).value.trim() : reading.querySelector("input[type=radio]:checked")?.value ?? "");
const noteIn = (reading) => reading.querySelector("[data-note]")?.value.trim() ?? "";
const number = (text) => (PLAIN.test(text) ? Number(text.replace(",", ".")) : null);
const range = (text) => text?.split(",").map(Number);
const outside = (value, bounds) => bounds && (value < bounds[0] || value > bounds[1]);

const fill = (reading, typed, more = "") => {
  if (reading.dataset.kind === "number") input(reading).value = typed;
  else for (const radio of reading.querySelectorAll("input[type=radio]")) radio.checked = radio.value === typed;
  const note = reading.querySelector("[data-note]");
  if (note && more) note.value = more;
  showMore(reading, typed);
};

const showMore = (reading, typed) => {
  const more = reading.querySelector("[data-more]");
  if (more) more.hidden = !typed || typed === "pass";
};

const count = (reading) => {
  const part = reading.closest(".part");
  const readings = [...part.querySelectorAll("[data-reading]")];
  part.querySelector("[data-count]").textContent = `${readings.filter(typedIn).length} of ${readings.length}`;
};

const send = async (reading, sure = false) => {
  const { system, field, seen } = reading.dataset;
  const typed = typedIn(reading);
  quiet(reading);
  const earlier = (await ofVisit(visit)).filter((e) => e.kind === "entry" && e.payload.field === field && e.payload.system === Number(system) && ["refused", "asked"].includes(e.state));
  await keep("entry", visit, { system: Number(system), field, typed, note: noteIn(reading), sure, seen: seen ? Number(seen) : null });
  // What was typed over it meanwhile is a draft of its own, and not kept by this.
  const stands = typedIn(reading) === typed;
  if (stands) await drop(draftOf(reading.dataset));
  await forget(earlier.map((event) => event.seq));
  if (stands) mark(reading, "Kept on this phone.");
  count(reading);
  checkDanger(reading, reading.dataset.kind === "number" ? number(typed) : typed);
  await flush();
};

// Bounds travel with the page; anything that is no plain number is left to the server to read.
const check = async (reading) => {
  if (reading.dataset.kind !== "number") return send(reading);
  const { hard, soft, unit } = reading.dataset;
  const typed = typedIn(reading);
  const value = number(typed);
  const [hardest, odd] = [range(hard), range(soft)];
  mark(reading, "");
  if (value !== null && outside(value, hardest)) return complain(reading, `${typed} ${unit} cannot be: ${hardest[0]} to ${hardest[1]} ${unit}. It stays here and is not sent.`);
  if (typed && value === null && !/\d/.test(typed)) return complain(reading, `“${typed}” is no number. It stays here and is not sent.`);
  if (value !== null && outside(value, odd)) {
    checkDanger(reading, value);
    return complain(reading, `${typed} ${unit} is unusual; ${odd[0]} to ${odd[1]} is usual. Is it right?`, [["Yes, it is right", () => send(reading, true)], ["Change it", () => { quiet(reading); input(reading).select(); input(reading).focus(); }]]);
  }
  return send(reading);
};

const answer = (reading, event) => {
  if (event.state === "refused") complain(reading, event.words);
  if (event.state === "conflict") complain(reading, `${event.words} Yours is kept for the office.`, [["Understood", () => { quiet(reading); forget([event.seq]); }]]);
  if (event.state === "asked") {
    const answers = [["Yes, it is right", () => send(reading, true)]];
    if (event.instead !== null && event.instead !== undefined) answers.push([`Take ${Math.round(event.instead * 100) / 100}`, () => { fill(reading, String(Math.round(event.instead * 100) / 100)); send(reading, true); }]);
    complain(reading, event.words, answers);
  }
  // Said of what stands in the field, not of what was typed over since.
  if (typedIn(reading) !== event.payload.typed) return;
  if (event.state === "applied") mark(reading, "Sent.");
  if (event.state === "waiting") mark(reading, "Kept on this phone.");
};

// The last thing done on this phone to each field, as far as the page does not know it yet.
const showKept = async (restoring) => {
  const last = new Map();
  for (const event of await ofVisit(visit)) if (event.kind === "entry") last.set(`${event.payload.system} ${event.payload.field}`, event);
  for (const event of last.values()) {
    const reading = find(event.payload.system, event.payload.field);
    const news = event.state !== "applied" || event.sent_at > madeAt;
    if (!reading || !news) continue;
    if (restoring) fill(reading, event.payload.typed, event.payload.note);
    answer(reading, event);
    count(reading);
  }
};

const restoreDrafts = async () => {
  for (const reading of document.querySelectorAll("[data-kind=number][data-reading]")) {
    const draft = await fact(draftOf(reading.dataset));
    if (draft === undefined) continue;
    if (draft.trim() === typedIn(reading)) { await drop(draftOf(reading.dataset)); continue; } // typed again as it was
    input(reading).value = draft;
    mark(reading, "Not finished: typed before, not sent.");
  }
};

export const watchReadings = async () => {
  const form = document.querySelector("[data-readings]");
  form.addEventListener("submit", (event) => event.preventDefault());
  form.addEventListener("input", (event) => {
    const reading = event.target.closest("[data-reading]");
    if (reading && event.target === input(reading)) note(draftOf(reading.dataset), event.target.value);
  });
  form.addEventListener("change", (event) => {
    const reading = event.target.closest("[data-reading]");
    if (!reading || event.target.type === "file") return;
    showMore(reading, typedIn(reading));
    check(reading);
  });
  // Enter goes on to the next field, as the arrow of a telephone's keyboard does.
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || !event.target.matches("input[inputmode]")) return;
    event.preventDefault();
    const fields = [...form.querySelectorAll("input[inputmode]")].filter((one) => one.offsetParent);
    (fields[fields.indexOf(event.target) + 1] ?? event.target).focus();
    event.target.blur?.();
  });
  document.addEventListener("sent", () => showKept(false));
  await showKept(true);
  await restoreDrafts();
};

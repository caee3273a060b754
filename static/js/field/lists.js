// Parts used, what is recommended, the section 608 number: short forms that add a line.

import { keep, ofVisit } from "./store.js";
import { flush } from "./send.js";
import { removable } from "./removal.js";

const visit = Number(document.getElementById("visit").dataset.visit);
const madeAt = Number(document.getElementById("my-day").dataset.made) * 1000;
const URGENT = { watch: "Watch", act: "Act" };
const WORDS = {
  part: ({ quantity, words }) => `${quantity} x ${words}`,
  recommendation: ({ urgency, words }) => `${URGENT[urgency]}: ${words}`,
  certificate: ({ number }) => `On this record: ${number}`,
};

const payloadOf = (form) => {
  const payload = Object.fromEntries(new FormData(form));
  if ("system" in payload) payload.system = payload.system ? Number(payload.system) : null;
  return payload;
};

const line = (event) => {
  const list = document.querySelector(`[data-list="${event.kind}"]`);
  const known = list.querySelector(`[data-seq="${event.seq}"]`);
  const shown = known ?? document.createElement("span");
  shown.dataset.seq = event.seq;
  const state = { waiting: " (kept on this phone)", applied: "" }[event.state] ?? ` (not taken over: ${event.words})`;
  shown.textContent = WORDS[event.kind](event.payload) + state;
  if (known) return;
  if (!list.matches("ul")) return list.replaceChildren(shown);
  const item = document.createElement("li");
  item.append(shown);
  list.append(item);
  if (event.kind === "part") removable(item, event.key);
};

const showKept = async () => {
  for (const event of await ofVisit(visit)) {
    const news = event.state !== "applied" || event.sent_at > madeAt;
    if (event.kind in WORDS && news) line(event);
  }
};

export const watchLists = () => {
  for (const form of document.querySelectorAll("[data-add]")) {
    form.addEventListener("submit", async (event) => {
      event.preventDefault();
      await keep(form.dataset.add, visit, payloadOf(form));
      if (form.dataset.add !== "certificate") form.reset();
      await showKept();
      await flush();
    });
  }
  document.addEventListener("sent", showKept);
  showKept();
};


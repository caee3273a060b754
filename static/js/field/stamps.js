// The buttons of a stop: kept at once, sent when there is signal.

import { keep, ofDay } from "./store.js";
import { flush } from "./send.js";

const ENDS = { done: "Done", nobody_home: "Nobody home", too_cold: "Too cold to test", not_finished: "Could not finish" };
const clock = (ms) => new Date(ms).toLocaleTimeString("en-US", { hour: "numeric", minute: "2-digit" });
const madeAt = Number(document.getElementById("my-day").dataset.made) * 1000;

const press = (button, at) => {
  button.dataset.pressed = "";
  const small = button.querySelector("[data-at]");
  if (small && !small.textContent) small.textContent = clock(at);
};

const finish = (stop, kind) => {
  stop.classList.add("stop--finished");
  stop.querySelector("[data-outcome]").textContent = `✓ ${ENDS[kind]}`;
  for (const form of stop.querySelectorAll("[data-stamps]")) form.hidden = true;
  for (const more of stop.querySelectorAll(".more")) more.hidden = true;
  stop.querySelector("details").open = false;
  const next = document.querySelector("[data-stop]:not(.stop--finished) > details");
  if (next) next.open = true;
};

const show = (visit, kind, at) => {
  for (const button of document.querySelectorAll(`[data-stamps="${visit}"] [value="${kind}"]`)) press(button, at);
  const stop = document.querySelector(`[data-stop="${visit}"]`);
  if (stop && kind in ENDS && !stop.classList.contains("stop--finished")) finish(stop, kind);
};

// What was pressed on this phone and the page does not know yet.
export const showPressed = async () => {
  for (const event of await ofDay()) {
    const news = event.state === "waiting" || (event.state === "applied" && event.sent_at > madeAt);
    if (event.kind === "stamp" && news) show(event.visit, event.payload.stamp, event.phone_at);
  }
};

const dayPage = () => document.querySelector(".phone-head__home").href;

const tell = (form, words) => {
  const error = form.querySelector("[data-error]");
  error.hidden = false;
  error.textContent = words;
};

export const watchStamps = () => {
  document.addEventListener("submit", async (event) => {
    const form = event.target.closest("[data-stamps]");
    if (!form || !event.submitter) return;
    event.preventDefault();
    const visit = Number(form.dataset.stamps);
    const kind = event.submitter.value;
    const why = form.elements.why?.value.trim() ?? "";
    if (kind === "not_finished" && !why) return tell(form, "Say why it could not be finished.");
    if ("pressed" in event.submitter.dataset) return;
    const kept = await keep("stamp", visit, { stamp: kind, why });
    show(visit, kind, kept.phone_at);
    await flush();
    if (kind in ENDS && document.getElementById("visit")) location.assign(dayPage());
  });
  showPressed();
};


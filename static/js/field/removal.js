// Takes back a part or photo that was wrong. The server keeps it with who removed it and when.
// Two presses, so that a thumb in a glove removes nothing.

import { keep, ofVisit } from "./store.js";
import { flush } from "./send.js";

const visit = Number(document.getElementById("visit").dataset.visit);
const WORDS = { waiting: "Removed (kept on this phone)", applied: "Removed" };

const itemOf = (key) => document.querySelector(`[data-key="${key}"]`);
const wordsOf = (item) => item.querySelector("span").textContent.replace(/ \(kept on this phone\)$/, "");

const ready = (button) => {
  delete button.dataset.armed;
  button.textContent = "Remove";
};

// Makes an item of a list that this phone added removable too.
export const removable = (item, key) => {
  if (item.dataset.key) return;
  item.dataset.key = key;
  const button = document.createElement("button");
  Object.assign(button, { className: "button button--plain", type: "button", textContent: "Remove" });
  button.dataset.remove = "";
  button.setAttribute("aria-label", `Remove ${wordsOf(item)}`);
  item.append(button);
};

const showRemoved = async () => {
  for (const { kind, payload, state } of await ofVisit(visit)) {
    const item = kind === "removal" && itemOf(payload.of);
    if (!item) continue;
    const button = item.querySelector("[data-remove]");
    item.classList.toggle("removed", state in WORDS);
    button.removeAttribute("aria-label");
    if (state in WORDS) Object.assign(button, { disabled: true, textContent: WORDS[state] });
    else if (button.disabled) Object.assign(button, { disabled: false, textContent: "Remove" });
  }
};

const press = async (button) => {
  if (!("armed" in button.dataset)) {
    button.dataset.armed = "";
    button.textContent = "Press again to remove";
    button.setAttribute("aria-label", `Press again to remove ${wordsOf(button.closest("li"))}`);
    button.addEventListener("blur", () => ready(button), { once: true });
    return;
  }
  const item = button.closest("[data-key]");
  await keep("removal", visit, { of: item.dataset.key, words: wordsOf(item) });
  await showRemoved();
  await flush();
};

export const watchRemovals = () => {
  for (const button of document.querySelectorAll("[data-remove]")) button.hidden = false;
  document.addEventListener("click", (event) => {
    const button = event.target.closest("[data-remove]");
    if (button) press(button);
  });
  document.addEventListener("sent", showRemoved);
  showRemoved();
};

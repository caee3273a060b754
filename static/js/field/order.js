// Another order of the stops: a button up, a button down, and a reason.

import { keep, ofDay } from "./store.js";
import { flush } from "./send.js";

const list = document.querySelector("[data-stops]");
const form = document.querySelector("[data-order]");
const stops = () => [...list.querySelectorAll("[data-stop]")];
const order = () => stops().map((stop) => Number(stop.dataset.stop));
const put = (pks) => list.append(...pks.map((pk) => list.querySelector(`[data-stop="${pk}"]`)).filter(Boolean));

const move = (button) => {
  const stop = button.closest("[data-stop]");
  if ("up" in button.dataset) stop.previousElementSibling?.before(stop);
  else stop.nextElementSibling?.after(stop);
  button.focus();
  form.hidden = false;
};

const showWaiting = async () => {
  const orders = (await ofDay()).filter((event) => event.kind === "order" && event.state === "waiting");
  if (orders.length) put(orders.at(-1).payload.visits);
};

export const watchOrder = async () => {
  if (!form) return;
  await showWaiting();
  let before = order();
  for (const buttons of list.querySelectorAll("[data-move]")) buttons.hidden = false;
  list.addEventListener("click", (event) => {
    const button = event.target.closest("[data-up], [data-down]");
    if (button) move(button);
  });
  form.querySelector("[data-order-undo]").addEventListener("click", () => {
    put(before);
    form.hidden = true;
  });
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    before = order();
    await keep("order", null, { visits: before, why: form.elements.why.value.trim() });
    form.hidden = true;
    form.reset();
    await flush();
  });
};

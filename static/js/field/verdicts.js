// Verdicts come from the server as soon as readings have been sent.

import { ofVisit } from "./store.js";
import { showFound } from "./procedures.js";

const visit = document.getElementById("visit");
const place = document.getElementById("verdicts");
const waitingLine = document.querySelector("[data-waiting]");

const showWaiting = async () => {
  const unsent = (await ofVisit(Number(visit.dataset.visit))).some((event) => event.kind === "entry" && event.state === "waiting");
  waitingLine.hidden = !unsent;
};

const fetchVerdicts = async () => {
  const answer = await fetch(visit.dataset.verdicts, { credentials: "same-origin" }).catch(() => null);
  if (!answer?.ok || answer.redirected) return;
  place.innerHTML = await answer.text();
  showFound(place);
};

export const watchVerdicts = () => {
  document.addEventListener("kept", showWaiting);
  document.addEventListener("sent", async (event) => {
    await showWaiting();
    if (event.detail.any) await fetchVerdicts();
  });
  showFound(place);
  showWaiting();
};

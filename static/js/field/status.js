// How much waits for signal, always in sight.

import { mine, user, waiting } from "./store.js";
import { trouble } from "./send.js";

const line = document.getElementById("unsent");
const entries = (count) => `${count} ${count === 1 ? "entry" : "entries"}`;

const words = (own, others, unread) => {
  if (own && trouble === "signed-out") return ["trouble", `Sign in again to send ${entries(own)}`];
  if (own && trouble === "server") return ["trouble", `${entries(own)} kept: the server has trouble`];
  if (own) return ["waiting", `${entries(own)} ${own === 1 ? "waits" : "wait"} for signal`];
  if (others) return ["trouble", `${entries(others)} of somebody else wait on this phone`];
  if (unread) return ["trouble", `${entries(unread)} ${unread === 1 ? "needs" : "need"} you`];
  return ["sent", "Everything is sent"];
};

export const showStatus = async () => {
  const all = await waiting();
  const own = all.filter((event) => event.user === user).length;
  const unread = (await mine()).filter((event) => ["refused", "asked", "conflict"].includes(event.state)).length;
  const [state, text] = words(own, all.length - own, unread);
  line.dataset.state = state;
  if (line.textContent !== text) line.textContent = text;
};

export const watchStatus = () => {
  for (const name of ["kept", "sent"]) document.addEventListener(name, showStatus);
  showStatus();
};

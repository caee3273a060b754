// What the server refused or kept for the office: at the top of every page until it was read.
// A reading of this very page says so beside its field instead.

import { forget, mine } from "./store.js";

const place = document.querySelector("[data-needs]");
const NAMES = { stamp: "Button", entry: "Reading", part: "Part", recommendation: "Recommendation", signed: "Signature", signature: "Signature", certificate: "Section 608 number", photo: "Photo", removal: "Removal", order: "Order of the stops" };
const LEFT = { refused: "not taken over", conflict: "kept for the office", asked: "asked about: open the visit" };

const besideItsField = ({ kind, visit, payload }) =>
  kind === "entry" && document.querySelector(`#visit[data-visit="${visit}"] [data-field="${payload.field}"][data-system="${payload.system}"]`);

const line = (event) => {
  const item = document.createElement("div");
  item.className = "notice notice--warning";
  const words = document.createElement("p");
  words.textContent = `${NAMES[event.kind] ?? "Something"}, ${LEFT[event.state]}. ${event.words}`;
  const button = document.createElement("button");
  button.className = "button";
  button.type = "button";
  button.textContent = "Understood";
  button.addEventListener("click", () => forget([event.seq]));
  item.append(words, button);
  return item;
};

const show = async () => {
  const unread = (await mine()).filter((event) => event.state in LEFT && !besideItsField(event));
  place.replaceChildren(...unread.map(line));
};

export const watchNeeds = () => {
  for (const name of ["kept", "sent"]) document.addEventListener(name, show);
  show();
};

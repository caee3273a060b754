// Photos: made smaller on the phone, kept there, sent one by one. Drawing them on a canvas leaves
// behind where and with what they were taken; the server makes sure of it.

import { keep, ofVisit } from "./store.js";
import { flush } from "./send.js";
import { removable } from "./removal.js";

const LONGEST = 1600;
const THUMB = 320;
const visit = Number(document.getElementById("visit").dataset.visit);
const list = document.querySelector("[data-photo-list]");

const drawn = (bitmap, longest) => {
  const scale = Math.min(1, longest / Math.max(bitmap.width, bitmap.height));
  const canvas = document.createElement("canvas");
  canvas.width = Math.max(1, Math.round(bitmap.width * scale));
  canvas.height = Math.max(1, Math.round(bitmap.height * scale));
  canvas.getContext("2d").drawImage(bitmap, 0, 0, canvas.width, canvas.height);
  return canvas;
};

const bytesOf = (canvas, type, quality) =>
  new Promise((resolve) => canvas.toBlob(async (blob) => resolve(await blob.arrayBuffer()), type, quality));

const captions = new Map();

const show = (bitmap, words, { seq, key }) => {
  const item = document.createElement("li");
  const thumb = drawn(bitmap, THUMB);
  thumb.setAttribute("role", "img");
  thumb.setAttribute("aria-label", words);
  const caption = document.createElement("span");
  caption.textContent = `${words} (kept on this phone)`;
  item.append(thumb, caption);
  list.append(item);
  removable(item, key);
  captions.set(seq, [caption, words]);
};

// Photos that this phone has and could not send yet, after the page was opened again.
const showWaiting = async () => {
  for (const event of await ofVisit(visit)) {
    if (event.kind !== "photo" || event.state !== "waiting" || !event.picture) continue;
    const file = new Blob([event.picture.bytes], { type: event.picture.type });
    show(await createImageBitmap(file), event.payload.words, event);
  }
};

// Once the server has a photo, or does not want it, its caption says so.
const showSent = async () => {
  for (const event of await ofVisit(visit)) {
    const [caption, words] = captions.get(event.seq) ?? [];
    if (caption && event.state !== "waiting") caption.textContent = event.state === "applied" ? words : event.words;
  }
};

const take = async (input) => {
  const [file] = input.files;
  const error = document.querySelector("[data-photos] [data-error]");
  error.hidden = true;
  if (!file) return;
  try {
    const bitmap = await createImageBitmap(file, { imageOrientation: "from-image" });
    const words = input.closest("[data-reading]")?.querySelector("legend").textContent.trim() ?? "Photo";
    const system = input.dataset.system ? Number(input.dataset.system) : null;
    const bytes = await bytesOf(drawn(bitmap, LONGEST), "image/jpeg", 0.8);
    const kept = await keep("photo", visit, { system, item: input.dataset.item ?? "", words }, { bytes, type: "image/jpeg" });
    show(bitmap, words, kept);
    await flush();
  } catch {
    error.hidden = false;
    error.textContent = "This file is no picture that the phone can read.";
  } finally {
    input.value = "";
  }
};

export const watchPhotos = () => {
  document.addEventListener("sent", showSent);
  showWaiting();
  document.addEventListener("change", (event) => {
    if (event.target.matches("[data-photo]")) take(event.target);
  });
};

export { bytesOf };

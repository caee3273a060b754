// A signature with the finger, or the name alone.

import { keep, ofVisit } from "./store.js";
import { flush } from "./send.js";
import { bytesOf } from "./photos.js";

const visit = Number(document.getElementById("visit").dataset.visit);
const form = document.querySelector("[data-sign]");

const drawing = (canvas) => {
  const pen = canvas.getContext("2d");
  let drawn = false;
  const at = ({ offsetX, offsetY }) => [(offsetX * canvas.width) / canvas.clientWidth, (offsetY * canvas.height) / canvas.clientHeight];
  Object.assign(pen, { lineWidth: 4, lineCap: "round", lineJoin: "round", strokeStyle: "#1f140d" });
  canvas.addEventListener("pointerdown", (event) => {
    canvas.setPointerCapture(event.pointerId);
    pen.beginPath();
    pen.moveTo(...at(event));
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!canvas.hasPointerCapture(event.pointerId)) return;
    pen.lineTo(...at(event));
    pen.stroke();
    drawn = true;
  });
  return {
    isDrawn: () => drawn,
    clear: () => {
      pen.clearRect(0, 0, canvas.width, canvas.height);
      drawn = false;
    },
  };
};

const say = (words) => {
  form.querySelector("[data-list]").textContent = words;
};

const showKept = async () => {
  const last = (await ofVisit(visit)).filter((event) => ["signed", "signature"].includes(event.kind)).at(-1);
  if (!last) return;
  const { name, present } = last.payload;
  const who = present === false ? "Customer not present." : `Signed by ${name}.`;
  const states = { waiting: " Kept on this phone.", applied: " Sent." };
  say(who + (states[last.state] ?? ` ${last.words}`));
};

export const watchSignature = () => {
  if (!form) return;
  const canvas = form.querySelector("canvas");
  const signature = drawing(canvas);
  form.querySelector("[data-clear]").addEventListener("click", signature.clear);
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const error = form.querySelector("[data-error]");
    const name = form.elements.name.value.trim();
    const present = !form.elements.absent.checked;
    error.hidden = Boolean(name) || !present;
    error.textContent = "Write the name of who signs, or choose “Customer not present”.";
    if (!error.hidden) return;
    if (present && signature.isDrawn()) {
      await keep("signature", visit, { name, present }, { bytes: await bytesOf(canvas, "image/png"), type: "image/png" });
    } else await keep("signed", visit, { name, present });
    await showKept();
    await flush();
  });
  document.addEventListener("sent", showKept);
  showKept();
};

// Danger takes over the screen at once, also without a signal: the readings carry the values at
// which a visit stops. Each danger opens once, whoever found it first; it stays on the page below.

const seen = new Set(); // of emergencies the server found and of fields the phone warned of

const open = (dialog) => {
  if (!dialog.open) dialog.showModal();
  dialog.querySelector("h2")?.scrollIntoView();
};

export const checkDanger = (reading, value) => {
  const { procedure, from, word } = reading.dataset;
  if (!procedure) return;
  const danger = word ? value === word : Number.isFinite(Number(from)) && Number(value) >= Number(from);
  if (!danger) return;
  seen.add(`${reading.dataset.field}-${reading.dataset.system}`);
  open(document.getElementById(`procedure-${procedure}`));
};

// What the server's judgement found that the phone did not know.
export const showFound = (within) => {
  for (const found of within.querySelectorAll("[data-emergency]")) {
    const names = [found.dataset.emergency, ...found.dataset.used.split(" ")];
    const known = names.some((name) => seen.has(name));
    seen.add(found.dataset.emergency);
    if (known) continue;
    if (document.querySelector("dialog.procedure[open]")) continue;
    const dialog = document.createElement("dialog");
    dialog.className = "procedure";
    dialog.setAttribute("aria-label", found.querySelector("h3").textContent);
    const form = document.createElement("form");
    form.method = "dialog";
    const back = document.createElement("button");
    back.className = "button button--wide";
    back.textContent = "Everybody is safe: back to the list";
    form.append(back);
    dialog.append(...[...found.cloneNode(true).childNodes], form);
    document.body.append(dialog);
    open(dialog);
  }
};

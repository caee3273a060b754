// How one reading stands, written beside it: kept, sent, refused, asked about, in conflict.

const place = (reading, name) => reading.querySelector(`[data-${name}]`);

export const mark = (reading, words) => {
  place(reading, "kept").textContent = words;
};

export const quiet = (reading) => {
  place(reading, "trouble").replaceChildren();
  for (const input of reading.querySelectorAll("input")) input.removeAttribute("aria-invalid");
};

// `answers`: pairs of a button's words and what it does.
export const complain = (reading, words, answers = []) => {
  const paragraph = document.createElement("p");
  paragraph.textContent = words;
  const row = document.createElement("div");
  row.className = "button-row";
  for (const [label, act] of answers) {
    const button = document.createElement("button");
    button.className = "button";
    button.type = "button";
    button.textContent = label;
    button.addEventListener("click", act);
    row.append(button);
  }
  place(reading, "trouble").replaceChildren(paragraph, ...(answers.length ? [row] : []));
  reading.querySelector("input:not([type=radio])")?.setAttribute("aria-invalid", "true");
};

// Opens and closes what folds away: the rooms on a phone, and the person's menu.
// Without this file both are simply open or work by <details> alone.

document.documentElement.classList.add("has-script");

const button = document.querySelector("[data-menu]");
button?.addEventListener("click", () => {
  button.setAttribute("aria-expanded", String(button.getAttribute("aria-expanded") !== "true"));
});

const openMenus = () => document.querySelectorAll("details[data-closes][open]");

document.addEventListener("click", (event) => {
  for (const menu of openMenus()) {
    if (!menu.contains(event.target)) menu.open = false;
  }
});

document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") return;
  for (const menu of openMenus()) {
    menu.open = false;
    menu.querySelector("summary").focus();
  }
});

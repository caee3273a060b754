// A ribbon wider than the screen opens at today, not at its first day.

const showToday = (within) => {
  for (const today of within.querySelectorAll("[data-today]")) {
    const region = today.closest(".picture__scroll");
    const box = today.getBoundingClientRect();
    region.scrollLeft += box.left - region.getBoundingClientRect().left - region.clientWidth / 3;
  }
};

showToday(document);
document.addEventListener("htmx:load", (event) => showToday(event.detail.elt));

// A picture wider than the screen opens at today, or at the hour from which the day is testable.

const showToday = (within) => {
  for (const here of within.querySelectorAll("[data-today], [data-testable]")) {
    const region = here.closest(".picture__scroll");
    const box = here.getBoundingClientRect();
    region.scrollLeft += box.left - region.getBoundingClientRect().left - region.clientWidth / 3;
  }
};

showToday(document);
document.addEventListener("htmx:load", (event) => showToday(event.detail.elt));

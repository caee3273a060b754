// After a part of the page was replaced: focus goes to what asks for it (an error summary
// carries data-focus). When the server cannot be reached, the person is told.

const focusAsked = (within) => {
  const asked = within.matches?.("[data-focus]") ? within : within.querySelector("[data-focus]");
  asked?.focus();
};

const tell = (sentence) => {
  const notice = document.createElement("div");
  notice.className = "notice notice--error";
  const words = document.createElement("p");
  words.textContent = sentence;
  notice.append(words);
  document.getElementById("messages")?.replaceChildren(notice);
};

focusAsked(document);
document.addEventListener("htmx:load", (event) => focusAsked(event.detail.elt));
document.addEventListener("htmx:sendError", () => tell("The server could not be reached. Nothing was changed; try again."));
document.addEventListener("htmx:responseError", (event) =>
  tell(`The server refused this (${event.detail.xhr.status}). Load the page again before you go on.`));

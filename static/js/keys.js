// "/" goes to the search box, unless somebody is typing.

const isTyping = (element) => element.matches("input, select, textarea, [contenteditable]");

document.addEventListener("keydown", (event) => {
  if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey) return;
  const search = document.getElementById("search");
  if (!search || isTyping(document.activeElement)) return;
  event.preventDefault();
  search.focus();
  search.select();
});

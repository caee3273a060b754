// My day: the route of a technician.

import { tidy } from "./store.js";
import { keepSending } from "./send.js";
import { watchStatus } from "./status.js";
import { watchNeeds } from "./needs.js";
import { keepPages, register, watchSignOut } from "./offline.js";
import { watchStamps } from "./stamps.js";
import { watchOrder } from "./order.js";

const head = document.getElementById("my-day");
const local = (date) => `${date.getFullYear()}-${String(date.getMonth() + 1).padStart(2, "0")}-${String(date.getDate()).padStart(2, "0")}`;

watchStatus();
watchNeeds();
watchStamps();
watchOrder();
watchSignOut();
keepSending();
tidy();

// The day's own page, kept from yesterday, says so.
const old = location.pathname === "/my-day/" && local(new Date()) !== head.dataset.day;
document.querySelector("[data-other-day]").hidden = !old || navigator.onLine;

const visits = [...document.querySelectorAll("[data-stop] a.button--main")].map((link) => link.pathname);
addEventListener("load", async () => {
  await register();
  await keepPages(visits);
});

/* Closes the small menu in the strip when the eye moves on. Without this file it still opens and closes by its own button. */
"use strict";

const who = document.querySelector("details.who");

if (who) {
  document.addEventListener("click", (event) => {
    if (!who.contains(event.target)) who.open = false;
  });
  who.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && who.open) {
      who.open = false;
      who.querySelector("summary").focus();
      event.stopPropagation();
    }
  });
}

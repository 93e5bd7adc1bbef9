/* Lets a drawing fill the screen.

   A figure holds its drawing (an svg, or an element marked data-drawing) and a button:
       <figure class="sheet"> <div data-drawing>svg ...</div>
         <figcaption>...</figcaption> <button type="button" data-zoom hidden>Enlarge</button> </figure>
   The button is hidden until this file shows it, so without script nothing on the page is dead.
   The drawing itself moves into the dialog and back: its ids stay the only ones of their name. */
"use strict";

const LARGEST = 8;
const STEP = 1.4;

function piece(tag, className, text) {
  const made = document.createElement(tag);
  if (className) made.className = className;
  if (text) made.textContent = text;
  return made;
}

function pushButton(text, label, action) {
  const made = piece("button", "quiet", text);
  made.type = "button";
  if (label) made.setAttribute("aria-label", label);
  made.addEventListener("click", action);
  return made;
}

function enlarge(figure, drawing, opener) {
  const place = document.createComment("drawing");
  const caption = figure.querySelector("figcaption");
  const title = caption ? caption.textContent.trim() : "Drawing";
  const dialog = piece("dialog", "zoom");
  const stage = piece("div", "zoom-stage");
  const holder = piece("div", "zoom-drawing");
  const bar = piece("div", "zoom-acts");
  let size = 1;
  let fit = 1; // share of the width at which the whole drawing is seen

  function resize(wanted, x = stage.clientWidth / 2, y = stage.clientHeight / 2) {
    const next = Math.min(LARGEST, Math.max(1, wanted));
    const ratio = next / size;
    const left = (stage.scrollLeft + x) * ratio - x;
    const top = (stage.scrollTop + y) * ratio - y;
    size = next;
    holder.style.width = `${size * fit * 100}%`;
    stage.scrollTo({ left, top, behavior: "instant" });
  }

  bar.append(
    piece("p", "", title),
    pushButton("−", "Smaller", () => resize(size / STEP)),
    pushButton("+", "Larger", () => resize(size * STEP)),
    pushButton("Whole", "Show the whole drawing", () => resize(1)),
    pushButton("Close", "", () => dialog.close()),
  );
  stage.tabIndex = 0;
  stage.setAttribute("role", "region");
  stage.setAttribute("aria-label", "Drawing, can be moved about");
  dialog.setAttribute("aria-label", title);

  figure.style.minHeight = `${figure.offsetHeight}px`;
  drawing.replaceWith(place);
  holder.append(drawing);
  stage.append(holder);
  dialog.append(bar, stage);
  document.body.append(dialog);

  dialog.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "+" || event.key === "=") resize(size * STEP);
    else if (event.key === "-") resize(size / STEP);
    else if (event.key === "0") resize(1);
    else return;
    event.preventDefault();
  });

  // Two fingers: the drawing grows with their distance, about the point between them.
  const fingers = new Map();
  const spread = () => {
    const [a, b] = [...fingers.values()];
    return Math.hypot(a.clientX - b.clientX, a.clientY - b.clientY);
  };
  let apart = 0;
  stage.addEventListener("pointerdown", (event) => {
    if (event.pointerType !== "touch") return;
    fingers.set(event.pointerId, event);
    if (fingers.size === 2) apart = spread();
  });
  stage.addEventListener("pointermove", (event) => {
    if (!fingers.has(event.pointerId)) return;
    fingers.set(event.pointerId, event);
    if (fingers.size !== 2 || apart === 0) return;
    const now = spread();
    const edge = stage.getBoundingClientRect();
    const [a, b] = [...fingers.values()];
    resize((size * now) / apart, (a.clientX + b.clientX) / 2 - edge.left, (a.clientY + b.clientY) / 2 - edge.top);
    apart = now;
  });
  for (const name of ["pointerup", "pointercancel"]) {
    stage.addEventListener(name, (event) => fingers.delete(event.pointerId));
  }
  stage.addEventListener(
    "touchmove",
    (event) => {
      if (event.touches.length > 1) event.preventDefault();
    },
    { passive: false },
  );

  dialog.addEventListener("close", () => {
    place.replaceWith(drawing);
    figure.style.minHeight = "";
    dialog.remove();
    opener.focus();
  });
  dialog.showModal();
  const roomy = getComputedStyle(stage);
  const room = stage.clientHeight - parseFloat(roomy.paddingTop) - parseFloat(roomy.paddingBottom);
  fit = Math.min(1, room / holder.offsetHeight);
  resize(1);
  stage.focus();
}

for (const opener of document.querySelectorAll("figure [data-zoom]")) {
  const figure = opener.closest("figure");
  const drawing = figure.querySelector("[data-drawing]") ?? figure.querySelector("svg");
  if (!drawing || typeof HTMLDialogElement === "undefined") continue;
  const caption = figure.querySelector("figcaption");
  if (caption && !opener.hasAttribute("aria-label")) {
    opener.setAttribute("aria-label", `${opener.textContent.trim()}: ${caption.textContent.trim()}`);
  }
  opener.hidden = false;
  opener.addEventListener("click", () => enlarge(figure, drawing, opener));
  drawing.addEventListener("click", () => {
    if (!drawing.closest("dialog")) enlarge(figure, drawing, opener);
  });
}

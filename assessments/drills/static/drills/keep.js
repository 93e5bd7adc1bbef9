/* Keeps what is typed, on this device and at the site, and says how it was understood.

   A form marked data-keep="number" is kept under that number. Without this file the form still works: the site
   keeps everything when it is looked over. With it, a lost connection, a closed page or an ended session loses nothing. */
"use strict";

const PAUSE = 500;
const NO_CONNECTION = "No connection. What you typed is kept on this device; go on, and look it over when the connection is back.";
const SIGNED_OUT = "You are signed out. What you typed is kept on this device. ";

function place(number) {
  return `drill-${number}`;
}

function recall(number) {
  try {
    return JSON.parse(localStorage.getItem(place(number)));
  } catch {
    return null;
  }
}

function note(number, typed) {
  try {
    localStorage.setItem(place(number), JSON.stringify({ typed, at: Date.now() / 1000 }));
  } catch {
    /* A full or forbidden store: the site still keeps what it is sent. */
  }
}

function forget(number) {
  try {
    localStorage.removeItem(place(number));
  } catch {
    /* Nothing was kept. */
  }
}

function typedIn(form) {
  const typed = {};
  for (const [name, text] of new FormData(form)) {
    if (name !== "csrfmiddlewaretoken" && name !== "attempt") typed[name] = text;
  }
  return typed;
}

function putBack(form, typed) {
  let changed = false;
  for (const [name, text] of Object.entries(typed)) {
    const field = form.elements.namedItem(name);
    if (field && field.value !== text) {
      field.value = text;
      changed = true;
    }
  }
  return changed;
}

function keep(form) {
  const number = form.dataset.keep;
  const status = form.querySelector("[data-keep-status]");
  let waiting = null;
  let turn = 0;

  function say(text, address) {
    status.textContent = text;
    if (address) {
      const link = document.createElement("a");
      link.href = address;
      link.textContent = "Sign in and go on";
      status.append(link);
    }
  }

  function show({ echoes, errors }) {
    for (const field of form.querySelectorAll("[data-echo]")) {
      const line = document.getElementById(`echo-${field.name}`);
      const error = errors[field.name];
      const text = error || (echoes[field.name] ? `understood as ${echoes[field.name]}` : "");
      if (line && line.textContent !== text) line.textContent = text;
      line?.classList.toggle("refused", Boolean(error));
      if (!error && echoes[field.name]) settle(field);
    }
  }

  /* What the site had refused is put right: the old refusal goes. */
  function settle(field) {
    field.classList.remove("is-invalid");
    field.removeAttribute("aria-invalid");
    field.closest(".mb-3")?.querySelectorAll(".invalid-feedback").forEach((one) => one.remove());
  }

  async function send() {
    const mine = ++turn;
    let answer;
    try {
      answer = await fetch(form.dataset.keepAddress, { method: "POST", body: new FormData(form), redirect: "manual", headers: { Accept: "application/json" } });
    } catch {
      say(NO_CONNECTION);
      return false;
    }
    if (mine !== turn) return true;
    if (answer.type === "opaqueredirect" || answer.status === 403) {
      say(SIGNED_OUT, form.dataset.keepSignIn);
      return false;
    }
    if (!answer.ok) {
      say("The site could not keep this just now. It is kept on this device.");
      return false;
    }
    show(await answer.json());
    say("Kept.");
    return true;
  }

  form.addEventListener("input", () => {
    note(number, typedIn(form));
    clearTimeout(waiting);
    waiting = setTimeout(send, PAUSE);
  });

  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    clearTimeout(waiting);
    note(number, typedIn(form));
    if (await send()) form.submit();
  });

  const kept = recall(number);
  if (kept && kept.at > Number(form.dataset.keepSaved || 0) && putBack(form, kept.typed)) {
    say("What you had typed on this device was put back.");
  }
  if (Object.values(typedIn(form)).some((text) => text)) send();
}

/* A button that was pressed is not pressed again while the page is on its way. */
function once(form) {
  form.addEventListener("submit", (event) => {
    if (form.dataset.sent) event.preventDefault();
    form.dataset.sent = "yes";
  });
  window.addEventListener("pageshow", () => delete form.dataset.sent);
}

document.querySelectorAll("form[data-keep]").forEach(keep);
document.querySelectorAll("form[data-once]").forEach(once);
const over = document.querySelector("script[data-forget]");
if (over) forget(over.dataset.forget);

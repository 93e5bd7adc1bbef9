/* Keeps what is typed, on this device and at the site, and says how it was understood.

   A form marked data-keep="number" is kept under that number. Without this file the form still works: the site keeps
   everything when it is looked over. With it, a lost connection, a closed page or an ended session loses nothing.

   What the site has not got yet is noted on this device, with what the site had when it was typed: opened again, only
   what was changed here is put back, over whatever has come from another device meanwhile. No clock is asked. */
"use strict";

const PAUSE = 500;
const PATIENCE = 15000;
const PUT_BACK = "What you had typed on this device was put back, and is kept.";
const NO_CONNECTION = "No connection. What you typed is kept on this device; go on, and look it over when the connection is back.";
const NOT_NOW = "The site could not keep this just now. It is kept on this device.";
const SIGNED_OUT = "You are signed out, or somebody signed in since. What you typed is kept on this device.";
const HANDED_IN = "This draw was handed in meanwhile. It counts once.";

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

function note(number, typed, had) {
  try {
    localStorage.setItem(place(number), JSON.stringify({ typed, had }));
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

function keep(form) {
  const number = form.dataset.keep;
  const status = form.querySelector("[data-keep-status]");
  const token = form.elements.namedItem("attempt");
  const names = [...new Set([...form.elements].map((one) => one.name))].filter(
    (name) => name && name !== "attempt" && name !== "csrfmiddlewaretoken",
  );
  let had = typed();
  let waiting = null;
  let line = Promise.resolve(true);
  let kept = "Kept.";

  function typed() {
    const data = new FormData(form);
    return Object.fromEntries(names.map((name) => [name, data.get(name) ?? ""]));
  }

  function write(name, text) {
    form.elements.namedItem(name).value = text;
  }

  function say(text, words, address) {
    if (status.dataset.said === text) return;
    status.dataset.said = text;
    status.textContent = text;
    if (words) {
      const link = document.createElement("a");
      link.href = address;
      link.textContent = words;
      status.append(" ", link);
    }
  }

  /* How each field was understood, or why it was not. What the page was delivered with, this takes the place of. */
  function show({ echoes, errors }) {
    for (const field of form.querySelectorAll("[data-echo]")) {
      const said = document.getElementById(`echo-${field.name}`);
      const error = errors[field.name] ?? "";
      const text = error || (echoes[field.name] ? `understood as ${echoes[field.name]}` : "");
      if (said.textContent !== text) said.textContent = text;
      said.classList.toggle("refused", Boolean(error));
      field.classList.toggle("is-invalid", Boolean(error));
      field.closest(".mb-3").querySelectorAll(".invalid-feedback").forEach((one) => one.remove());
      if (error) {
        field.setAttribute("aria-invalid", "true");
        field.setAttribute("aria-describedby", said.id);
      } else {
        field.removeAttribute("aria-invalid");
      }
    }
    if (Object.keys(errors).length === 0) document.querySelector(".error-list")?.remove();
  }

  /* What came from another device goes into the fields that were left alone here. */
  function take(fromSite, sent) {
    const here = typed();
    for (const name of names) {
      if (here[name] === sent[name] && here[name] !== (fromSite[name] ?? "")) write(name, fromSite[name] ?? "");
    }
    had = Object.fromEntries(names.map((name) => [name, fromSite[name] ?? ""]));
    const left = typed();
    if (names.every((name) => left[name] === had[name])) forget(number);
    else note(number, left, had);
  }

  async function sendNow() {
    const sent = typed();
    let answer, told;
    try {
      answer = await fetch(form.dataset.keepAddress, {
        method: "POST",
        body: new FormData(form),
        redirect: "manual",
        headers: { Accept: "application/json" },
        signal: AbortSignal.timeout(PATIENCE),
      });
      if (answer.ok) told = await answer.json();
    } catch {
      say(NO_CONNECTION);
      return false;
    }
    if (answer.type === "opaqueredirect" || answer.status === 403) {
      say(SIGNED_OUT, "Sign in and go on", location.pathname);
      return false;
    }
    if (!told) {
      say(NOT_NOW);
      return false;
    }
    if (told.is_handed_in) {
      forget(number);
      say(HANDED_IN, "See the result", form.dataset.keepResult);
      return false;
    }
    token.value = told.token;
    take(told.kept, sent);
    show(told);
    say(kept);
    return true;
  }

  /* One after the other: each says what the site had when it was sent. */
  function send() {
    clearTimeout(waiting);
    line = line.then(sendNow);
    return line;
  }

  form.addEventListener("input", () => {
    kept = "Kept.";
    note(number, typed(), had);
    clearTimeout(waiting);
    waiting = setTimeout(send, PAUSE);
  });

  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    if (await send()) form.submit();
  });

  window.addEventListener("online", send);
  window.addEventListener("pageshow", (event) => {
    if (event.persisted) send();
  });

  const before = recall(number);
  if (before?.typed && before.had) {
    for (const name of names) {
      const text = before.typed[name];
      if (text !== undefined && text !== before.had[name] && text !== had[name]) {
        write(name, text);
        kept = PUT_BACK;
      }
    }
  }
  if (names.some((name) => typed()[name])) send();
}

/* A button that was pressed is not pressed again while the page is on its way. */
function once(form) {
  let isSent = false;
  form.addEventListener("submit", (event) => {
    if (isSent) event.preventDefault();
    isSent = true;
    setTimeout(() => (isSent = false), PATIENCE);
  });
  window.addEventListener("pageshow", () => (isSent = false));
}

document.querySelectorAll("form[data-keep]").forEach(keep);
document.querySelectorAll("form[data-once]").forEach(once);
const over = document.querySelector("script[data-forget]");
if (over) forget(over.dataset.forget);

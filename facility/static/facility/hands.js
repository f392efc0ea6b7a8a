// A shared phone passes from hand to hand: initials and a PIN, with or without signal; idle, it locks itself.
// Without signal the PIN opens the token that marks this person's entries: it was sealed with the PIN when
// they last took this phone over with signal. The lock keeps hands apart; it is no safe.
"use strict";
(() => {
  const { store, outbox } = window.penstock;
  const { body } = document;
  const dialog = document.getElementById("hands");
  const IDLE_MS = 5 * 60 * 1000;
  const ROUNDS = 300000;
  const TRIES = 10;
  const LOCKED = "penstock-locked";
  const TOUCHED = "penstock-touched";

  const now = () => (dialog ? store.kept("now") : Promise.resolve(undefined));
  window.penstock.hands = { now };
  if (!dialog) return;
  const form = dialog.querySelector("form");

  async function key(pin, salt) {
    const plain = await crypto.subtle.importKey("raw", new TextEncoder().encode(pin), "PBKDF2", false, ["deriveKey"]);
    const how = { name: "PBKDF2", hash: "SHA-256", salt, iterations: ROUNDS };
    return crypto.subtle.deriveKey(how, plain, { name: "AES-GCM", length: 256 }, false, ["encrypt", "decrypt"]);
  }

  async function seal(pin, hands) {
    if (!crypto.subtle) return; // plain http: hands change with signal only
    const salt = crypto.getRandomValues(new Uint8Array(16));
    const iv = crypto.getRandomValues(new Uint8Array(12));
    const text = new TextEncoder().encode(JSON.stringify(hands));
    const sealed = await crypto.subtle.encrypt({ name: "AES-GCM", iv }, await key(pin, salt), text);
    await store.keep({ key: `sealed:${hands.person_id}`, salt, iv, sealed, tries: 0 });
  }

  async function unseal(pin, person_id) {
    if (!crypto.subtle) throw new Error("Without https the phone changes hands with signal only.");
    const row = await store.kept(`sealed:${person_id}`);
    if (!row) throw new Error("Take this phone over once with signal; then it also works without.");
    try {
      const text = await crypto.subtle.decrypt({ name: "AES-GCM", iv: row.iv }, await key(pin, row.salt), row.sealed);
      await store.keep({ ...row, tries: 0 });
      return JSON.parse(new TextDecoder().decode(text));
    } catch {
      if (row.tries + 1 < TRIES) await store.keep({ ...row, tries: row.tries + 1 });
      else await store.forget(row.key);
      throw new Error("This is not the PIN; enter it again.");
    }
  }

  async function ask(fields) {
    return fetch(form.action, {
      method: fields ? "POST" : "GET",
      credentials: "same-origin",
      cache: "no-store",
      headers: { Accept: "application/json", ...(fields && { "X-CSRFToken": outbox.cookie("csrftoken") }) },
      body: fields && new URLSearchParams(fields),
      signal: AbortSignal.timeout?.(4000),
    });
  }

  async function takeOver(person, pin) {
    let answer;
    try {
      answer = navigator.onLine && (await ask({ person, pin }));
    } catch {
      answer = null;
    }
    if (!answer || answer.status >= 500) return { ...(await unseal(pin, person)), apart: true };
    const told = await answer.json();
    if (!answer.ok) throw new Error(told.says);
    await seal(pin, told);
    return told;
  }

  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    event.stopPropagation();
    const person = new FormData(form).get("person");
    const pin = form.elements.pin.value;
    if (!person) return say("Choose who you are.");
    say("");
    try {
      await hold(await takeOver(person, pin));
    } catch (error) {
      say(error.message);
      form.elements.pin.select();
    }
  });

  async function hold(hands) {
    await store.keep({ key: "now", ...hands });
    localStorage.removeItem(LOCKED);
    touch();
    form.reset();
    dialog.close();
    if (body.dataset.person === hands.person_id || hands.apart) return show(hands);
    location.reload();
  }

  // Without signal the page stays the one that was kept; from here on it speaks of who holds the phone.
  function show(hands) {
    body.dataset.person = hands.person_id;
    body.dataset.personName = hands.name;
    for (const place of document.querySelectorAll("[data-hands-name]")) place.textContent = hands.name;
    outbox.send().catch(() => {});
  }

  function say(sentence) {
    const place = dialog.querySelector("[data-hands-says]");
    place.textContent = sentence;
    place.hidden = !sentence;
  }

  function open() {
    if (dialog.open) return; // somebody may be typing their PIN
    dialog.showModal();
    form.elements.pin.value = "";
  }

  function isLocked() {
    return localStorage.getItem(LOCKED) !== null;
  }

  async function lock() {
    localStorage.setItem(LOCKED, "yes");
    await store.forget("now");
    dialog.querySelector("[data-hands-close]").hidden = true;
    open();
  }

  function touch() {
    localStorage.setItem(TOUCHED, String(Date.now()));
    dialog.querySelector("[data-hands-close]").hidden = isLocked();
  }

  function watch() {
    if (isLocked()) lock();
    else if (Date.now() - Number(localStorage.getItem(TOUCHED) ?? Date.now()) > IDLE_MS) lock();
  }

  // Who holds the phone and whom the server has signed in are brought together when there is signal.
  async function meet() {
    if (isLocked()) return;
    const held = await now();
    if (body.dataset.keptAt || !navigator.onLine) return held && show(held);
    if (held?.person_id === body.dataset.person) return;
    if (held?.apart) {
      const answer = await ask({ person: held.person_id, token: held.token });
      if (answer.ok) return hold(await answer.json());
    }
    const told = await (await ask()).json();
    if (told.person_id) await store.keep({ key: "now", ...told });
  }

  dialog.addEventListener("cancel", (event) => isLocked() && event.preventDefault());
  dialog.querySelector("[data-hands-close]").addEventListener("click", () => dialog.close());
  for (const button of document.querySelectorAll("[data-hands-open]")) {
    button.hidden = false;
    button.addEventListener("click", open);
  }
  for (const kind of ["pointerdown", "keydown"]) addEventListener(kind, () => isLocked() || touch(), { passive: true });
  document.addEventListener("visibilitychange", () => document.hidden || watch());
  window.addEventListener("online", () => meet().catch(() => {}));
  setInterval(watch, 15000);
  if (isLocked()) lock();
  else if (body.dataset.person) {
    watch(); // a phone that lay about is not touched by loading a page
    if (!isLocked()) touch();
    meet().catch(() => {});
  }
})();

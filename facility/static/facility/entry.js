// A sheet that opted in (see outbox.js) goes into the outbox when Penstock cannot be reached.
"use strict";
(() => {
  const { store, outbox } = window.penstock;
  const PATIENCE_MS = 2500;
  const PREVIEWS = ["preview", "draw"];
  const AMBIGUOUS = /^[+-]?\d{1,3},\d{3}$/;

  // Last in line: sheet.js has seen by now whether the same sheet is under way already.
  document.addEventListener("submit", (event) => {
    const { target: form, submitter } = event;
    if (form.method !== "post" || event.defaultPrevented) return;
    const token = form.elements.csrfmiddlewaretoken;
    if (token && outbox.cookie("csrftoken")) token.value = outbox.cookie("csrftoken");
    if (PREVIEWS.includes(submitter?.name)) {
      if (!navigator.onLine || document.body.dataset.keptAt) refuse(event, "Without signal nothing is computed. The sheet stays as it is.");
      return;
    }
    if (form.dataset.outboxDeed) {
      event.preventDefault();
      post(form, submitter).catch((error) => say(form, "not-met", error.message));
    } else if (!navigator.onLine) {
      refuse(event, "There is no signal, and this sheet cannot wait on the device. It stays as it is: send it when there is signal.");
    }
  });

  function refuse(event, sentence) {
    event.preventDefault();
    release(event.target);
    say(event.target, "due", sentence);
  }

  async function post(form, submitter) {
    const pressed = document.createElement("input");
    if (submitter?.name) form.append(Object.assign(pressed, { type: "hidden", name: submitter.name, value: submitter.value }));
    try {
      await postOrKeep(form);
    } finally {
      setTimeout(() => pressed.remove());
    }
  }

  async function postOrKeep(form) {
    const mends = Number(form.dataset.mends || 0);
    // A kept page may ask for what has changed since: its entries always take the way of the outbox.
    if (!mends && !document.body.dataset.keptAt && (await isReachable())) {
      form.submit();
      return;
    }
    release(form);
    if (!isFilledIn(form)) return;
    const says = saysOf(form);
    const { before = [], command } = await shaped(form, commandOf(form));
    for (const entry of before) await outbox.addOnce(entry);
    const sheet = window.penstock.mending.sheetOf(form);
    if (mends) await outbox.mend(mends, command, { says, sheet });
    else await outbox.add({ deed: form.dataset.outboxDeed, command, says, sheet });
    delete form.dataset.mends;
    form.reset();
    renew(form);
    say(form, "done", mends ? `Sent again: ${says}.` : `On this device: ${says}. It is sent when there is signal.`);
  }

  async function isReachable() {
    if (!navigator.onLine) return false;
    try {
      return (await fetch("/alive/", { cache: "no-store", signal: AbortSignal.timeout?.(PATIENCE_MS) })).ok;
    } catch {
      return false;
    }
  }

  function isFilledIn(form) {
    for (const control of form.elements) {
      if (control.inputMode === "decimal") {
        const sentence = AMBIGUOUS.test(control.value.trim()) ? "A comma before three figures can be read two ways; use a point." : "";
        control.setCustomValidity(sentence);
      }
    }
    return form.reportValidity();
  }

  function commandOf(form) {
    const command = JSON.parse(form.dataset.outboxCommand || "{}");
    for (const control of form.elements) {
      const name = control.dataset.outboxField ?? control.name;
      if (!name || name === "id" || name === "csrfmiddlewaretoken" || control.closest("[data-outbox-row]")) continue;
      const value = valueOf(control);
      if (value === "") continue;
      command[name] = Array.isArray(command[name]) ? [...command[name], value] : value;
      if (control.type === "checkbox" && isOneOfMany(form, control)) command[name] = [].concat(command[name]);
    }
    for (const row of form.querySelectorAll("[data-outbox-row]")) addRow(command, row);
    return command;
  }

  function shaped(form, command) {
    const shape = outbox.shapes[form.dataset.outboxDeed];
    return shape ? shape(form, command) : { command };
  }

  function addRow(command, row) {
    const told = {};
    for (const control of row.querySelectorAll("[data-outbox-field]")) {
      const value = control.inputMode === "decimal" ? control.value.trim() : valueOf(control);
      const name = control.dataset.outboxField;
      if (name && value !== "" && told[name] === undefined) told[name] = value;
    }
    if (!Object.keys(told).length) return;
    const values = JSON.parse(row.dataset.outboxValues || "{}");
    (command[row.dataset.outboxRow] ??= []).push({ id: store.uuid(), ...values, ...told });
  }

  function valueOf(control) {
    if (control.type === "radio") return control.checked ? control.value : "";
    if (control.type === "checkbox") return control.checked ? (control.value === "on" ? true : control.value) : "";
    if (["submit", "button", "reset", "fieldset"].includes(control.type)) return "";
    const text = (control.value ?? "").trim();
    if (control.type === "datetime-local") return text && outbox.moment(text, zoneOf(control));
    return control.inputMode === "decimal" ? text.replace(",", ".").replace("\u2212", "-") : text;
  }

  function isOneOfMany(form, control) {
    return form.querySelectorAll(`[type="checkbox"][name="${CSS.escape(control.name)}"]`).length > 1;
  }

  function zoneOf(control) {
    return control.closest("[data-zone]")?.dataset.zone || "UTC";
  }

  function saysOf(form) {
    const says = form.dataset.outboxSays || document.querySelector("h1")?.textContent || form.dataset.outboxDeed;
    return says.replace(/\{([\w-]+)\}/g, (_, name) => form.elements[name]?.value ?? "");
  }

  // A kept sheet was drawn with its own number and time: each use of it is an entry of its own, and now.
  function renew(form) {
    if (form.elements.id) form.elements.id.value = store.uuid();
    for (const clock of form.querySelectorAll('input[type="datetime-local"]')) {
      if (clock.value && clock.value === clock.defaultValue) clock.value = outbox.wall(new Date(), zoneOf(clock));
    }
  }

  function release(form) {
    delete form.dataset.sent;
    for (const button of form.elements) {
      if (button.type === "submit") button.setAttribute("aria-busy", "false");
    }
  }

  function say(form, state, sentence) {
    document.getElementById("entry-says")?.remove();
    const notice = Object.assign(document.createElement("div"), { id: "entry-says", className: `notice ${state}`, tabIndex: -1 });
    notice.setAttribute("role", state === "done" ? "status" : "alert");
    notice.append(Object.assign(document.createElement("p"), { textContent: sentence }));
    form.before(notice);
    notice.scrollIntoView({ block: "nearest" });
    notice.focus({ preventScroll: true });
    release(form);
  }

  window.penstock.entry = { commandOf, renew, say };
})();

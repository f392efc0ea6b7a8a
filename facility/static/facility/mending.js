// A refused entry comes back onto the sheet it was made on, as it was filled in (see outbox.js).
"use strict";
(() => {
  const { penstock } = window;
  const NOT_TYPED = ["id", "csrfmiddlewaretoken", "confirmed"];

  function controlsOf(form) {
    return Array.from(form.elements).filter(({ name, type }) => name && !NOT_TYPED.includes(name) && !["submit", "button", "file"].includes(type));
  }

  function sheetOf(form) {
    const values = {};
    const labels = {};
    for (const control of controlsOf(form)) {
      labels[control.name] ??= labelOf(control);
      const isBox = ["radio", "checkbox"].includes(control.type);
      if (!isBox || control.checked) (values[control.name] ??= []).push(control.value);
    }
    return { at: form.dataset.outboxAt || location.pathname + location.search, command: form.dataset.outboxCommand ?? "", values, labels };
  }

  // The words above the control, with its unit.
  function labelOf(control) {
    const words = (control.closest("fieldset")?.querySelector("legend") ?? control.labels?.[0])?.cloneNode(true);
    for (const aside of words?.querySelectorAll(".soft") ?? []) aside.remove();
    return words?.textContent.replace(/\s+/g, " ").trim() ?? "";
  }

  function fillIn(form, { values }) {
    for (const control of controlsOf(form)) {
      const told = values[control.name] ?? [];
      if (["radio", "checkbox"].includes(control.type)) control.checked = told.includes(control.value);
      else if (told.length) control.value = told.shift();
      control.dispatchEvent(new Event("change", { bubbles: true }));
      for (const fold of closed(control)) fold.open = true;
    }
  }

  // What was filled in must not stay folded away.
  function closed(control) {
    const fold = control.closest("details");
    return fold && control.value && control.value !== control.defaultValue ? [fold] : [];
  }

  async function bringBack() {
    const seq = Number(/^#mend-(\d+)$/.exec(location.hash)?.[1] ?? 0);
    const entry = seq && (await penstock.outbox.list()).find((one) => one.seq === seq && one.state === "refused");
    if (!entry?.sheet) return;
    const forms = Array.from(document.querySelectorAll("form[data-outbox-deed]"));
    const form = forms.find(({ dataset }) => dataset.outboxDeed === entry.deed && (dataset.outboxCommand ?? "") === entry.sheet.command);
    if (!form) return;
    fillIn(form, structuredClone(entry.sheet));
    form.dataset.mends = seq;
    penstock.entry.say(form, "not-met", `${entry.says} was refused: ${entry.sentence} Change the sheet and send it again.`);
  }

  penstock.mending = { sheetOf };
  document.addEventListener("DOMContentLoaded", () => bringBack().catch(() => {}));
})();

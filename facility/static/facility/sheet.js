// Wet fingers touch twice: a sheet goes off once, and can go again if the page comes back.
"use strict";
(() => {
  const quiet_ms = 3000;

  function busy(form, on) {
    for (const button of form.elements) {
      if (button.type === "submit") button.setAttribute("aria-busy", String(on));
    }
  }

  document.addEventListener("submit", (event) => {
    const form = event.target;
    if (form.method !== "post") return;
    if (form.dataset.sent) {
      event.preventDefault();
      return;
    }
    form.dataset.sent = "yes";
    busy(form, true);
    setTimeout(() => release(form), quiet_ms);
  });

  function release(form) {
    delete form.dataset.sent;
    busy(form, false);
  }

  window.addEventListener("pageshow", () => document.querySelectorAll("form").forEach(release));
})();

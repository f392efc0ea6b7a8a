// Asks once a minute what nobody has accepted, and shows it on whatever page is open.
"use strict";
(() => {
  const place = document.getElementById("calling");
  if (!place || location.pathname.startsWith("/alerts/")) return;
  const EVERY_MS = 60000;

  async function look() {
    if (document.hidden || !navigator.onLine) return;
    const answer = await fetch(place.dataset.from, { credentials: "same-origin", redirect: "error" }).catch(() => null);
    if (!answer?.ok) return;
    const told = (await answer.text()).trim();
    const drawn = document.createElement("template");
    drawn.innerHTML = told;
    // Said aloud again only when it has changed.
    if (drawn.content.textContent.trim() !== place.textContent.trim()) place.replaceChildren(drawn.content);
  }

  setInterval(look, EVERY_MS);
  document.addEventListener("visibilitychange", look);
})();

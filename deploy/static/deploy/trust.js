// What this browser can do here, asked of the browser itself.
"use strict";
(() => {
  const secure = window.isSecureContext;
  const can = {
    secure,
    offline: secure && "serviceWorker" in navigator,
    camera: Boolean(navigator.mediaDevices?.getUserMedia),
    keeps: "indexedDB" in window,
  };
  for (const one of document.querySelectorAll("[data-can]")) {
    const yes = can[one.dataset.can];
    one.classList.remove("unknown");
    one.classList.add(yes ? "met" : "not-met");
    one.textContent = yes ? one.dataset.yes : one.dataset.no;
  }
})();

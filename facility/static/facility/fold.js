// Long tables come open; a phone folds them so that the page stays short. Paper gets them all.
"use strict";
(() => {
  const phone = matchMedia("(max-width: 63.99rem)");

  function fold(open) {
    for (const one of document.querySelectorAll("details.long")) one.open = open;
  }

  phone.addEventListener("change", () => fold(!phone.matches));
  window.addEventListener("beforeprint", () => fold(true));
  window.addEventListener("afterprint", () => fold(!phone.matches));
  fold(!phone.matches);
})();

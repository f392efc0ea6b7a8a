// Chosen theme, put on before the page is painted. "device" follows the phone's own setting.
"use strict";
(() => {
  const themes = ["device", "light", "dark"];
  const words = { device: "Theme: device", light: "Theme: light", dark: "Theme: dark" };
  const root = document.documentElement;

  function stored() {
    try {
      const theme = localStorage.getItem("theme");
      return themes.includes(theme) ? theme : "device";
    } catch {
      return "device"; // storage is closed to us: the device's setting stands
    }
  }

  function store(theme) {
    try {
      localStorage.setItem("theme", theme);
    } catch {
      // Nothing to do: the theme lasts for this page.
    }
  }

  function wear(theme) {
    if (theme === "device") delete root.dataset.theme;
    else root.dataset.theme = theme;
  }

  let worn = stored();
  wear(worn);

  document.addEventListener("DOMContentLoaded", () => {
    for (const button of document.querySelectorAll("[data-theme-toggle]")) {
      button.textContent = words[worn];
      button.hidden = false;
      button.addEventListener("click", () => {
        worn = themes[(themes.indexOf(worn) + 1) % themes.length];
        store(worn);
        wear(worn);
        button.textContent = words[worn];
      });
    }
  });
})();

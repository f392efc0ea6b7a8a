// Figures under the thumb on a touch screen. A row whose kit has steps shows those instead: a step is a whole
// answer and leads on by itself; figures lead on with Next, for nobody but the hand knows when they are done.
"use strict";
(() => {
  if (!matchMedia("(pointer: coarse)").matches) return; // at a desk there are keys enough
  const panel = document.querySelector(".keypad");
  const form = panel.closest("form");
  const about = panel.querySelector("[data-about]");
  const keys = panel.querySelector("[data-keys]");
  const fold = panel.querySelector("[data-fold]");
  const keyboard = panel.querySelector("[data-keyboard]");
  const next = panel.querySelector("[data-next]");
  const save = form.querySelector(".actions [type=submit]");
  let row;
  let field;

  const boxOf = (one) => one.querySelector("input.big");
  const hasSteps = (one) => Boolean(one.querySelector(".steps"));

  function rows() {
    return [...form.querySelectorAll(".reading")].filter((one) => !one.closest("details:not([open])"));
  }

  function activate(one, { open }) {
    row?.classList.remove("now");
    row = one;
    row.classList.add("now");
    field = boxOf(one);
    about.textContent = [labelOf(one), one.querySelector(".entry .help")].map(told).filter(Boolean).join(", ");
    next.textContent = following() ? "Next" : "Done";
    unfold(open);
    row.scrollIntoView({ block: "nearest" });
  }

  const labelOf = (one) => one.querySelector("label");
  // What it is and what it last was; how long ago stands in the row.
  const told = (part) => part?.textContent.split("\u00b7")[0].replace(/\s+/g, " ").trim();

  function unfold(open) {
    const isPlain = wantsKeyboard();
    keys.hidden = isPlain || !open;
    fold.hidden = isPlain;
    fold.textContent = keys.hidden ? "Figures" : "Hide";
    fold.setAttribute("aria-expanded", String(!keys.hidden));
    panel.hidden = false;
    document.body.classList.toggle("with-keys", !keys.hidden);
    document.body.classList.toggle("with-bar", keys.hidden);
  }

  function following() {
    const all = rows();
    return all[all.indexOf(row) + 1];
  }

  function goOn() {
    const one = following();
    if (!one) {
      unfold(false);
      save.focus();
    } else if (hasSteps(one) && !wantsKeyboard()) {
      activate(one, { open: false });
      one.querySelector(".steps input").focus({ preventScroll: true });
    } else {
      activate(one, { open: true });
      field.focus({ preventScroll: true });
    }
  }

  function type(text) {
    field.setRangeText(text, field.selectionStart, field.selectionEnd, "end");
    tell();
  }

  function rub() {
    const { selectionStart: start, selectionEnd: end } = field;
    field.setRangeText("", start === end ? Math.max(0, start - 1) : start, end, "end");
    tell();
  }

  function tell() {
    field.dispatchEvent(new Event("input", { bubbles: true }));
    navigator.vibrate?.(8);
  }

  function wantsKeyboard() {
    try {
      return localStorage.getItem("figures") === "keyboard";
    } catch {
      return false;
    }
  }

  function choose(word) {
    try {
      localStorage.setItem("figures", word);
    } catch {
      // It lasts for this page then.
    }
    wear();
  }

  // The phone's own keyboard stays away while ours is there.
  function wear() {
    const isPlain = wantsKeyboard();
    for (const box of form.querySelectorAll(".reading input.big")) box.inputMode = isPlain ? "decimal" : "none";
    keyboard.textContent = isPlain ? "Big figures" : "Keyboard";
  }

  panel.addEventListener("pointerdown", (event) => event.preventDefault()); // the box keeps the caret
  panel.addEventListener("click", ({ target }) => {
    const key = target.closest("button");
    if (key === fold) {
      unfold(keys.hidden);
      row.scrollIntoView({ block: "nearest" });
      if (!keys.hidden) field.focus({ preventScroll: true });
    } else if (key === keyboard) {
      choose(wantsKeyboard() ? "ours" : "keyboard");
      field.blur(); // the other keyboard comes with the next focus only
      field.focus({ preventScroll: true });
    } else if (key === next) goOn();
    else if (key?.dataset.rub !== undefined) rub();
    else if (key) type(key.dataset.key);
  });
  form.addEventListener("focusin", ({ target }) => {
    const one = target.closest(".reading");
    if (!one) return;
    if (target.matches("input.big")) activate(one, { open: true });
    else if (target.closest(".steps")) activate(one, { open: false });
  });
  form.addEventListener("change", ({ target }) => {
    if (!target.closest(".steps") || !target.value) return;
    activate(target.closest(".reading"), { open: false });
    goOn();
  });
  // Another method draws its row anew.
  document.addEventListener("htmx:afterSettle", () => {
    wear();
    const anew = row && !row.isConnected && document.getElementById(row.id);
    if (anew) activate(anew, { open: !hasSteps(anew) && !keys.hidden });
  });

  function begin() {
    const [first] = rows();
    if (!first) return;
    activate(first, { open: !hasSteps(first) });
    if (!hasSteps(first)) field.focus({ preventScroll: true });
  }

  wear();
  if (form.querySelector(".has-problem, .notice") || document.querySelector(".error-summary")) return;
  begin();
})();

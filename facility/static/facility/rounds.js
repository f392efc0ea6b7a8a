// The draft of the rounds by keyboard: arrows walk among the tasks; with tasks picked they move them.
"use strict";
(() => {
  const ACTS = { ArrowUp: "earlier", ArrowDown: "later" };
  const STEPS = { ArrowUp: -1, ArrowDown: 1, ArrowLeft: -1, ArrowRight: 1 };

  function press(board, value) {
    [...board.querySelectorAll("button[name=do]")].find((button) => button.value === value)?.click();
  }

  function walk(board, from, key) {
    const columns = [...board.querySelectorAll("[data-column]")];
    const column = from.closest("[data-column]");
    const here = [...column.querySelectorAll("[name=picked]")];
    if (ACTS[key]) return here[here.indexOf(from) + STEPS[key]]?.focus();
    const beside = columns.slice(STEPS[key] > 0 ? columns.indexOf(column) + 1 : 0, STEPS[key] > 0 ? undefined : columns.indexOf(column));
    if (STEPS[key] < 0) beside.reverse();
    const there = beside.map((one) => [...one.querySelectorAll("[name=picked]")]).find((one) => one.length);
    if (there) there[Math.min(here.indexOf(from), there.length - 1)].focus();
  }

  function move(board, from, key) {
    if (ACTS[key]) return press(board, ACTS[key]);
    const columns = [...board.querySelectorAll("[data-column]")];
    const there = columns[columns.indexOf(from.closest("[data-column]")) + STEPS[key]];
    if (there) press(board, `give:${there.dataset.column}`);
  }

  document.addEventListener("keydown", (event) => {
    const board = event.target.closest?.("#board");
    if (!board || event.target.name !== "picked" || !(event.key in STEPS) || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    const picked = board.querySelector("[name=picked]:checked");
    (picked ? move : walk)(board, event.target, event.key);
  });
})();

// What a page says about signal: how old a kept page is, what waits on this device, what is missing here.
"use strict";
(() => {
  const { outbox, entry } = window.penstock;
  const { body } = document;
  const MINUTE_MS = 60000;
  let counts = { waiting: 0, refused: 0, says: "" };

  const many = (count, one, more) => `${count} ${count === 1 ? one : more}`;

  function clock(at) {
    return at.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
  }

  function age(at) {
    const minutes = Math.max(0, Math.round((Date.now() - at) / MINUTE_MS));
    if (!minutes) return "less than a minute";
    return minutes < 90 ? many(minutes, "minute", "minutes") : many(Math.round(minutes / 60), "hour", "hours");
  }

  function sentences() {
    const told = [];
    if (body.dataset.keptAt && !body.dataset.missing) {
      const at = new Date(body.dataset.keptAt);
      told.push(`No signal: this page is as it was at ${clock(at)}, ${age(at)} ago.`);
    } else if (!navigator.onLine) {
      told.push("No signal.");
    }
    if (counts.waiting) told.push(`${many(counts.waiting, "entry waits", "entries wait")} on this device.`);
    if (counts.refused) told.push(`${many(counts.refused, "entry was", "entries were")} refused: mend ${counts.refused === 1 ? "it" : "them"}.`);
    if (counts.waiting && counts.says) told.push(counts.says);
    return told;
  }

  // What a sheet says only while there is no signal.
  function drawSheets() {
    const isAway = Boolean(body.dataset.keptAt) || !navigator.onLine;
    for (const one of document.querySelectorAll("[data-away-only]")) one.hidden = !isAway;
  }

  function draw() {
    drawSheets();
    const bar = document.getElementById("away");
    if (!bar) return;
    const told = sentences();
    bar.hidden = !told.length;
    bar.className = `notice ${counts.refused ? "not-met" : "due"}`;
    const text = told.join(" ");
    const words = bar.querySelector("[data-away-says]");
    if (words.textContent !== text) words.textContent = text;
    bar.querySelector("a").hidden = !(counts.waiting || counts.refused) || location.pathname === bar.querySelector("a").pathname;
  }

  document.addEventListener("penstock:outbox", (event) => {
    counts = event.detail;
    draw();
  });
  for (const change of ["online", "offline"]) window.addEventListener(change, draw);
  setInterval(draw, MINUTE_MS / 2);
  draw();

  if (body.dataset.keptAt) {
    for (const form of document.querySelectorAll('form[method="post"]')) entry.renew(form);
  }

  // Taking along: the links of a [data-take-along], and those of theirs that bear the mark themselves.
  function ways() {
    const found = document.querySelectorAll("a[data-take-along], [data-take-along] a[href]");
    const ours = Array.from(found).filter((way) => way.origin === location.origin && !way.pathname.startsWith("/api/"));
    return [...new Set(ours.map((way) => way.href.replace(/#.*/, "")))];
  }

  async function register() {
    if (!body.dataset.person || !window.isSecureContext || !("serviceWorker" in navigator)) return;
    navigator.serviceWorker.addEventListener("message", ({ data }) => taken(data));
    await navigator.serviceWorker.register("/worker.js");
    const { active } = await navigator.serviceWorker.ready;
    if (!body.dataset.keptAt) active.postMessage({ take: [location.href.replace(/#.*/, ""), ...ways()] });
  }

  function taken({ taken: count }) {
    for (const place of document.querySelectorAll("[data-taken]")) {
      place.textContent = `On this device since ${clock(new Date())}: ${many(count, "page", "pages")}.`;
    }
  }

  if (document.readyState === "complete") setTimeout(register);
  else window.addEventListener("load", () => register().catch(() => {})); // without it the outbox still works
})();

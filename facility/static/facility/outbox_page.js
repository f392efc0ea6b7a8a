// The outbox to look at: each entry with its state; what was refused is mended, confirmed or dropped here.
"use strict";
(() => {
  const { outbox } = window.penstock;
  const list = document.getElementById("outbox-entries");
  if (!list) return;
  const STATES = { waiting: ["due", "on this device"], sent: ["done", "sent"], refused: ["not-met", "refused"], dropped: ["unknown", "dropped"] };
  const UUID = /^[0-9a-f]{8}-([0-9a-f]{4}-){3}[0-9a-f]{12}$/;
  // Where an entry was made on no sheet that can be opened.
  const WORDS = {
    happened_at: "When", text: "Value as read", unit: "Unit", basis: "Given as", parameter: "What was read", sign: "What was not well",
    litres: "Litres changed", protein_share: "Protein in it (0.45 is 45 %)", why_not: "Why not", outcome: "Done or not", reason: "Why it is changed",
    name: "Name", lowest: "The least it can tell", highest: "The most it can tell",
  };
  const MOMENT = /^\d{4}-\d\d-\d\dT\d\d:\d\d/;
  const zone = document.querySelector("[data-zone]")?.dataset.zone || "UTC";

  function el(name, told = {}, ...inside) {
    const { dataset, ...rest } = told;
    const made = Object.assign(document.createElement(name), rest);
    Object.assign(made.dataset, dataset);
    made.append(...inside);
    return made;
  }

  async function draw() {
    if (list.contains(document.activeElement) && document.activeElement.matches("input, textarea")) return; // somebody is typing
    const entries = await outbox.list();
    const open = entries.filter((entry) => !["sent", "dropped"].includes(entry.state));
    const done = entries.filter((entry) => ["sent", "dropped"].includes(entry.state)).reverse();
    const there = await Promise.all(open.map(canBeOpened));
    list.replaceChildren(...open.map((entry, place) => line(entry, there[place])), ...done.map((entry) => line(entry)));
    document.getElementById("outbox-none").hidden = entries.length > 0;
  }

  async function canBeOpened({ sheet }) {
    return Boolean(sheet) && (navigator.onLine || Boolean(await window.caches?.match(sheet.at, { cacheName: "pages" })));
  }

  function line(entry, canOpen) {
    const [state, word] = STATES[entry.state];
    const made = new Date(entry.made_at);
    const time = el("time", { dateTime: entry.made_at }, made.toLocaleString("en-GB", { dateStyle: "medium", timeStyle: "short" }));
    const told = el("p", {}, el("a", { href: entry.about }, entry.says), " ", el("span", { className: `badge ${state}` }, word));
    const row = el("li", { id: `entry-${entry.id}` }, time, told, el("p", { className: "by" }, entry.person_name || "nobody signed in"));
    if (entry.sentence) row.append(el("p", { className: entry.state === "refused" ? "problem" : "soft" }, entry.sentence));
    if (entry.state === "refused") row.append(confirming(entry), canOpen ? onSheet(entry) : mending(entry), dropping(entry));
    return row;
  }

  function confirming(entry) {
    if (!entry.asks?.length) return "";
    const yes = el("button", { type: "button", className: "button" }, "It is right, keep it");
    yes.addEventListener("click", async () => {
      const confirmed = [...new Set([...(entry.command.confirmed ?? []), ...entry.asks])];
      await outbox.mend(entry.seq, { ...entry.command, confirmed });
      draw();
    });
    return el("p", {}, yes);
  }

  function onSheet({ sheet, seq }) {
    return el("p", {}, el("a", { className: "button primary", href: `${sheet.at}#mend-${seq}` }, "Mend it on its sheet"));
  }

  function mending(entry) {
    const command = structuredClone(entry.command);
    const fields = [...changeable(command, entry.sheet?.labels ?? {})];
    const form = el("form", { className: "sheet", noValidate: true }, ...fields.map((one, place) => control(one, `${entry.id}-${place}`)));
    form.append(el("button", { type: "submit", className: "button primary" }, "Send it mended"));
    form.addEventListener("submit", async (event) => {
      event.preventDefault();
      for (const [place, { holder, name }] of fields.entries()) holder[name] = read(form.elements[place], holder[name]);
      await outbox.mend(entry.seq, command);
      draw();
    });
    return el("details", { className: "more" }, el("summary", {}, "Mend it"), form);
  }

  // Every text, number and moment that a person may have given, wherever in the command it stands.
  function* changeable(holder, labels, label = "") {
    for (const [name, value] of Object.entries(holder)) {
      const words = `${label} ${labels[name] || WORDS[name] || String(name).replaceAll("_", " ")}`.trim();
      if (value && typeof value === "object") {
        if (name !== "confirmed") yield* changeable(value, labels, Array.isArray(holder) ? (value.parameter ?? `${label} ${Number(name) + 1}`) : words);
      } else if (!UUID.test(value) && value !== null) yield { holder, name, label: words };
    }
  }

  function control({ holder, name, label }, id) {
    const value = holder[name];
    const input = typeof value === "boolean" ? el("input", { type: "checkbox", checked: value, id })
      : MOMENT.test(value) ? el("input", { type: "datetime-local", value: outbox.wall(new Date(value), zone), id })
      : el("input", { type: "text", value: String(value), id });
    return el("div", { className: "row" }, el("label", { htmlFor: id }, label), input);
  }

  function read(input, before) {
    if (input.type === "checkbox") return input.checked;
    if (input.type === "datetime-local") return outbox.moment(input.value, zone);
    return typeof before === "number" && input.value.trim() !== "" ? Number(input.value.replace(",", ".")) : input.value.trim();
  }

  function dropping(entry) {
    const id = `drop-${entry.id}`;
    const why = el("input", { type: "text", id, required: true, maxLength: 300 });
    const form = el("form", { className: "sheet" },
      el("div", { className: "row" }, el("label", { htmlFor: id }, "Why is it dropped?"), why),
      el("button", { type: "submit", className: "button danger" }, "Drop it"));
    form.addEventListener("submit", async (event) => {
      event.preventDefault();
      await outbox.drop(entry.seq, why.value);
      document.activeElement.blur();
      draw();
    });
    return el("details", { className: "more" }, el("summary", {}, "Drop it"), form);
  }

  function missing() {
    const told = [];
    if (!window.isSecureContext) told.push("This address is plain http: pages cannot be kept for work without signal, the camera stays shut, and a shared phone changes hands with signal only. Entries still wait here and are sent later, as long as the page stays open or is opened again.");
    else if (!("serviceWorker" in navigator)) told.push("This browser keeps no pages: without signal, stay on the page that is open. Entries still wait here.");
    if (!window.indexedDB) told.push("This browser keeps nothing: entries cannot wait here. Leave private browsing.");
    const place = document.getElementById("outbox-missing");
    place.hidden = !told.length;
    place.replaceChildren(...told.map((sentence) => el("p", {}, sentence)));
  }

  async function pages() {
    if (!window.caches) return;
    const keys = await (await caches.open("pages")).keys();
    const paths = keys.map(({ url }) => new URL(url)).filter(({ pathname }) => !pathname.startsWith("/_known-as") && pathname !== location.pathname);
    const held = document.getElementById("outbox-pages");
    held.replaceChildren(...(await Promise.all(paths.map(way))));
    document.getElementById("outbox-pages-card").hidden = !paths.length;
  }

  async function way({ href, pathname, search }) {
    const text = await (await caches.match(href, { cacheName: "pages" }))?.text();
    const { title } = new DOMParser().parseFromString(text ?? "", "text/html");
    return el("li", {}, el("a", { href: pathname + search }, title.split(" \u00b7 ")[0] || pathname));
  }

  const { missing: wanted } = document.body.dataset;
  if (wanted) {
    const notice = document.getElementById("outbox-wanted");
    notice.hidden = false;
    notice.querySelector("p").textContent = `There is no signal, and ${decodeURI(wanted)} is not on this device.`;
  }
  document.getElementById("outbox-send").addEventListener("click", () => outbox.send());
  document.addEventListener("penstock:outbox", () => draw());
  missing();
  pages();
  draw().catch(() => {});
})();

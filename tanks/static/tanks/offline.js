// How the tanks' own sheets become commands when they wait on the device; outbox.js tells the rest.
"use strict";
(() => {
  const { outbox, store } = window.penstock;

  outbox.shapes["tanks.log-readings"] = (form, { vessel_id, happened_at }) => {
    const before = [];
    const readings = [...form.querySelectorAll("[data-parameter]")].map((row) => reading(row, before)).filter(Boolean);
    if (!readings.length) throw new Error("Write at least one value.");
    return { before, command: { vessel_id, happened_at, readings } };
  };

  function reading(row, before) {
    const { parameter } = row.dataset;
    const control = (name) => row.querySelector(`[name="${parameter.toLowerCase()}-${name}"]`);
    const step = row.querySelector(`[name="${parameter.toLowerCase()}-step"]:checked`)?.value ?? "";
    const text = control("text").value.trim() || step;
    if (!text) return null;
    const method_id = control("method").value;
    const { measure, define } = JSON.parse(row.dataset.methods)[method_id];
    if (define) before.push(added(define));
    const [unit, basis] = (control("unit").value || measure).split("|");
    return { id: store.uuid(), parameter, method_id, text, unit, basis: basis ?? "" };
  }

  // The samples go first, each an entry of its own; then what the walk saw.
  outbox.shapes["tanks.log-walk"] = (form, { area_id, happened_at }) => {
    const before = [];
    const told = (name, vessel_id) => (form.elements[`${name}-${vessel_id}`]?.value ?? "").trim();
    const seen = [...form.querySelectorAll('[name^="state-"]')].map(({ name }) => name.slice("state-".length)).filter((one) => told("state", one) !== "UNSEEN");
    if (!seen.length) throw new Error("Nothing was looked at; mark at least one tank as seen.");
    const signs = seen.filter((one) => told("state", one)).map((vessel_id) => {
      const [sign, note] = [told("state", vessel_id), told("note", vessel_id)];
      if (sign === "OTHER" && !note) throw new Error("Say in a few words what else is not well.");
      return { id: store.uuid(), vessel_id, sign, note };
    });
    for (const vessel_id of seen) {
      const text = told("text", vessel_id) || form.elements.value.value.trim();
      if (text) before.push(...sampleOf(form, { vessel_id, happened_at, text }));
    }
    return { before, command: { area_id, seen, signs, happened_at } };
  };

  function sampleOf(form, { vessel_id, happened_at, text }) {
    const [parameter, method_id] = form.elements.measure.value.split("|");
    if (!parameter) throw new Error("Choose what was read, or leave the values empty.");
    const { measure, define } = JSON.parse(form.dataset.methods)[method_id];
    const [unit, basis] = measure.split("|");
    const reading = { id: store.uuid(), parameter, method_id, text, unit, basis: basis ?? "" };
    const sample = { id: store.uuid(), vessel_id, happened_at, readings: [reading] };
    const says = `${parameter} ${text}, read on the walk`;
    return [...(define ? [added(define)] : []), { deed: "tanks.log-readings", command: sample, says }];
  }

  const added = (define) => ({ deed: "tanks.define-method", command: define, says: `Method: ${define.name}` });

  outbox.shapes["tanks.log-feeding"] = (_, { protein, ...command }) => {
    const share = Number(protein) / 100;
    return { command: { ...command, protein_share: Number.isNaN(share) ? protein : share.toFixed(4) } };
  };

  outbox.shapes["tanks.log-water-change"] = (form, { vessel_id, happened_at, quantity, quantity_in, source }) => {
    if (quantity_in === "%") throw new Error("Without signal nobody knows this water's volume: give the litres.");
    return { command: { vessel_id, happened_at, litres: quantity, source: source ?? "", ...carried(form) } };
  };

  // What the source water carries, in the columns' units; data-units has what one of each chosen unit is.
  function carried(form) {
    const units = JSON.parse(form.dataset.units);
    const told = (name) => form.elements[name]?.value.trim().replace(",", ".") ?? "";
    const amounts = { source_tan_mg_l_n: told("source_tan"), source_salinity_g_kg: told("source_salinity") };
    amounts.source_nitrate_mg_l_n = turned(told("source_nitrate"), units[told("source_nitrate_basis")], "Choose as NO\u2083 or as N.");
    amounts.source_alkalinity_meq_l = turned(told("source_alkalinity"), units[told("source_alkalinity_in")], "Choose what the alkalinity is in.");
    return Object.fromEntries(Object.entries(amounts).filter(([, amount]) => amount !== ""));
  }

  function turned(text, unit, sentence) {
    if (!text) return "";
    if (unit === undefined) throw new Error(sentence);
    return Number.isNaN(Number(text)) ? text : (Number(text) * unit).toFixed(3);
  }

  outbox.shapes["tanks.log-dose"] = (_, { product, confirmed = [], ...command }) => {
    const codes = [].concat(confirmed).map((one) => one.split("|")[0]);
    return { command: { ...command, product_id: product, confirmed: codes } };
  };

  outbox.shapes["tanks.log-seeding"] = (_, { product = null, origin = "", ...command }) => {
    if (!command.kind) throw new Error("Choose a culture or mature media.");
    return { command: { ...command, origin, product_id: command.kind === "CULTURE" ? product : null } };
  };

  outbox.shapes["tanks.log-incident"] = (_, command) => ({ command: { lasted_h: null, ...command } });
})();

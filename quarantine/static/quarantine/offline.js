// How looks and deaths become commands when they wait on the device, their photo among them.
"use strict";
(() => {
  const { outbox, store } = window.penstock;
  const LONGEST_PX = 1600;
  const QUALITY = 0.78;

  outbox.shapes["quarantine.log-observation"] = async (form, { note = "", signs = [], vessels, ...command }) => {
    if (form.elements.vessels) return everyTank([vessels ?? []].flat(), command);
    requireWords(signs, note);
    return pictured(form, { ...command, signs, note });
  };

  outbox.shapes["quarantine.log-death"] = async (form, { few, count, note = "", signs = [], ...command }) => {
    requireWords(signs, note);
    const died = few === "more" ? count : few;
    if (!died) throw new Error("Write how many died.");
    return pictured(form, { ...command, count: Number(died), signs, note });
  };

  // "All well": a look for each tank ticked, the last one as the entry itself.
  function everyTank(vessels, { happened_at, feeding }) {
    if (!vessels.length) throw new Error("Leave at least one tank ticked.");
    if (!feeding) throw new Error("Say whether all ate, or that nothing was offered.");
    const looks = vessels.map((vessel_id) => ({ vessel_id, happened_at, feeding, respiration: "CALM" }));
    const before = looks.slice(0, -1).map((look) => ({ deed: "quarantine.log-observation", command: { id: store.uuid(), ...look }, says: "All seen, no signs" }));
    return { before, command: looks.at(-1) };
  }

  function requireWords(signs, note) {
    if (signs.includes("OTHER") && !note) throw new Error("Say in a few words what else was seen.");
  }

  // The photo goes first, an entry of its own; what was seen names it.
  async function pictured(form, command) {
    const file = form.elements.photo?.files[0];
    if (!file) return { command };
    const photo = store.uuid();
    const { vessel_id, happened_at } = command;
    const kept = { id: photo, site_id: form.dataset.site, about: `tanks.vessel:${vessel_id}`, jpeg: await jpegOf(file), happened_at };
    return { before: [{ deed: "facility.keep-photo", command: kept, says: "Photo" }], command: { ...command, photos: [photo] } };
  }

  async function jpegOf(file) {
    const picture = await createImageBitmap(file).catch(() => { throw new Error("The photo cannot be read; take a new one."); });
    const scale = Math.min(1, LONGEST_PX / Math.max(picture.width, picture.height));
    const canvas = Object.assign(document.createElement("canvas"), { width: Math.round(picture.width * scale), height: Math.round(picture.height * scale) });
    canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
    return canvas.toDataURL("image/jpeg", QUALITY).split(",")[1];
  }
})();

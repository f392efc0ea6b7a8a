// The sheet of a box: a small photo, the tank by its label, and the way into the outbox without signal.
"use strict";
(() => {
  const { outbox, store } = window.penstock;
  const PHOTO_PX = 1600;
  const SAMPLE = [["temperature", "TEMPERATURE", "degC", ""], ["ph", "PH", "pH", "NBS"], ["tan", "TAN", "mg/L", ""], ["salinity", "SALINITY", "g/kg", ""]];
  const COUNTS = ["invoiced", "alive", "dead_on_arrival", "weak"];
  const form = document.querySelector("form[data-box]");
  if (!form) return;
  const tanks = JSON.parse(document.getElementById("tanks-by-code").textContent);
  let photo = null; // the picture as the form holds it, in base64

  const bare = (text) => text.trim().toUpperCase();
  const code = (text) => bare(text).match(/\/T\/([^/?#]+)/)?.[1]?.replaceAll(/[^0-9A-Z]/g, "") ?? bare(text);
  const vessel = () => tanks[bare(form.elements.tank.value)] ?? tanks[code(form.elements.tank.value).replaceAll("-", "")] ?? "";

  function tell() {
    form.elements.vessel.value = vessel();
    form.dispatchEvent(new CustomEvent("tank-known", { bubbles: true }));
  }

  async function small(file) {
    const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
    const scale = Math.min(1, PHOTO_PX / Math.max(picture.width, picture.height));
    const canvas = Object.assign(document.createElement("canvas"), { width: Math.round(picture.width * scale), height: Math.round(picture.height * scale) });
    canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
    return canvas;
  }

  async function taken(input) {
    photo = null;
    const [file] = input.files;
    if (!file) return;
    try {
      const canvas = await small(file);
      const data = canvas.toDataURL("image/jpeg", 0.78);
      photo = data.slice(data.indexOf(",") + 1);
      const blob = await new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", 0.78));
      const files = new DataTransfer();
      files.items.add(new File([blob], "box.jpg", { type: "image/jpeg" }));
      input.files = files.files;
    } catch {
      // What the browser cannot draw is sent as it is; Penstock says what is wrong with it.
    }
  }

  async function scanned(input) {
    const [file] = input.files;
    input.value = "";
    if (!file) return;
    const body = new FormData();
    body.append("photo", file, "label.jpg");
    const headers = { Accept: "application/json", "X-CSRFToken": outbox.cookie("csrftoken") };
    const help = form.elements.tank.closest(".row").querySelector(".help");
    try {
      const answer = await fetch(form.dataset.scan, { method: "POST", body, headers, credentials: "same-origin" });
      const { texts, says } = await answer.json();
      const found = texts.find((text) => tanks[code(text)]);
      help.textContent = found ? "Read from its label." : says || "No tank's label was found in the photo; write its code.";
      if (!found) return;
      form.elements.tank.value = Object.keys(tanks).find((name) => tanks[name] === tanks[code(found)]);
      tell();
    } catch {
      help.textContent = "There is no signal to read a photo; write the tank's code.";
    }
  }

  form.elements.photo.addEventListener("change", ({ target }) => taken(target));
  document.getElementById("tank-label").addEventListener("change", ({ target }) => scanned(target));
  form.elements.tank.addEventListener("change", tell);
  form.elements.species.addEventListener("change", () => vessel() && tell());
  // A box that waits on the phone is followed by the next: its number counts on, species and tank stay.
  form.addEventListener("reset", () => {
    photo = null;
    const { number, species, tank, protocol } = form.elements;
    const kept = [species, tank, protocol].map((control) => [control, control.value]);
    const next = /^\d{1,5}$/.test(number.value.trim()) ? String(Number(number.value) + 1) : "";
    setTimeout(() => {
      for (const [control, value] of kept) control.value = value;
      number.value = next;
      tell();
    });
  });
  window.addEventListener("load", () => vessel() && tell());

  outbox.shapes["quarantine.receive-box"] = (_, { consignment_id, happened_at, number, bag, species, protocol, is_new_lot, note }) => {
    const count = (name) => {
      const text = form.elements[name].value.trim();
      if (!/^\d{1,9}$/.test(text)) throw new Error(`${form.querySelector(`label[for="${form.elements[name].id}"]`).textContent.trim()}: write a whole number, such as 48.`);
      return Number(text);
    };
    const counts = Object.fromEntries(COUNTS.map((name) => [name, count(name)]));
    if (!number) throw new Error("Write the number on the box.");
    if (!species) throw new Error("Choose the species.");
    if (counts.alive && !vessel()) throw new Error("Write the tank that the living went into, as its code or label says.");
    const basis = form.querySelector('[name="tan_basis"]:checked')?.value ?? "";
    const sample = SAMPLE.map(([name, parameter, unit, scale]) => ({ parameter, text: form.elements[name].value.trim(), unit, basis: parameter === "TAN" ? basis : scale })).filter(({ text }) => text);
    if (sample.some(({ parameter }) => parameter === "TAN") && !basis) throw new Error("Choose what the kit gives TAN as.");
    const before = [];
    if (photo) {
      const about = `quarantine.consignment:${consignment_id}`;
      const command = { id: store.uuid(), site_id: form.dataset.site, about, jpeg: photo, happened_at };
      before.push({ deed: "facility.keep-photo", command, says: `Photo of box ${number}` });
    }
    const command = { consignment_id, number, species_id: species, ...counts, sample, happened_at, photos: before.map((one) => one.command.id) };
    if (vessel()) command.vessel_id = vessel();
    if (bag) command.bag = bag;
    if (protocol) command.protocol_id = protocol;
    if (is_new_lot) command.is_new_lot = true;
    if (note) command.note = note;
    return { before, command };
  };
})();

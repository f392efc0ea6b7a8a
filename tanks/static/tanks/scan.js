// The camera inside the page. The browser reads the square itself where it can; else Penstock reads a
// small picture now and then. What was read goes to the same address as a typed code.
"use strict";
(() => {
  const PAUSE_MS = 350;
  const HINT_MS = 12000;
  const FRAME_PX = 1000;
  const PHOTO_PX = 2400;
  const LARGE_BYTES = 1_500_000;
  const card = document.querySelector("[data-scan]");
  const sheet = document.querySelector("[data-photo-sheet]");
  const says = card.querySelector("[data-says]");
  const finder = card.querySelector(".finder");
  const video = card.querySelector("video");
  const button = card.querySelector("[data-camera]");
  let turn = 0;
  let isOpen = false;

  async function start() {
    const mine = ++turn;
    isOpen = true;
    button.textContent = "Close the camera";
    try {
      const wanted = { facingMode: "environment", width: { ideal: 1280 }, height: { ideal: 720 } };
      const stream = await navigator.mediaDevices.getUserMedia({ video: wanted, audio: false });
      if (mine !== turn) return release(stream);
      video.srcObject = stream;
      finder.hidden = false;
      says.textContent = "Looking for a label.";
      await video.play();
      await look(mine, await reader());
    } catch (error) {
      if (mine === turn) stop(sentence(error));
    }
  }

  function stop(why) {
    turn += 1;
    isOpen = false;
    release(video.srcObject);
    video.srcObject = null;
    finder.hidden = true;
    button.textContent = "Open the camera";
    says.textContent = why;
  }

  function release(stream) {
    for (const track of stream?.getTracks() ?? []) track.stop();
  }

  async function look(mine, read) {
    const since = performance.now();
    while (mine === turn) {
      const texts = video.videoWidth ? await read() : [];
      if (mine !== turn) return;
      if (texts.length) return open(texts);
      if (performance.now() - since > HINT_MS) says.textContent = "No label yet: go closer, keep glare off it, or type its code below.";
      await new Promise((resolve) => setTimeout(resolve, PAUSE_MS));
    }
  }

  async function reader() {
    const formats = (await window.BarcodeDetector?.getSupportedFormats().catch(() => [])) ?? [];
    if (!formats.includes("qr_code")) return ask;
    const detector = new BarcodeDetector({ formats: ["qr_code"] });
    return async () => (await detector.detect(video)).map((one) => one.rawValue);
  }

  async function ask() {
    const body = new FormData();
    body.append("photo", await drawn(video, video.videoWidth, video.videoHeight, FRAME_PX), "frame.jpg");
    const headers = { Accept: "application/json", "X-CSRFToken": sheet.elements.csrfmiddlewaretoken.value };
    try {
      const answer = await fetch(card.dataset.photo, { method: "POST", body, headers, credentials: "same-origin" });
      return answer.ok ? (await answer.json()).texts : [];
    } catch {
      says.textContent = "There is no signal: type the code once there is, or open the tank from the round.";
      return [];
    }
  }

  function open(texts) {
    stop("Found. Opening it.");
    if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.(40);
    location.assign(kept(texts) ?? `${card.dataset.scan}?${texts.map((text) => `code=${encodeURIComponent(text)}`).join("&")}`);
  }

  // Without signal only a tank's own page may be on the device: by its code, as the server would lead there.
  function kept([text, ...others]) {
    if (navigator.onLine || others.length) return null;
    const code = /^https?:\/\/[^/?#\s]+\/t\/([^/?#\s]+)\/?$/i.exec(text)?.[1] ?? text.replace(/[\s-]/g, "");
    return /^\w{7}$/.test(code) ? `${card.dataset.scan.replace(/\/$/, "")}/${code.toUpperCase()}` : null;
  }

  function drawn(source, width, height, longest) {
    const scale = Math.min(1, longest / Math.max(width, height));
    const canvas = Object.assign(document.createElement("canvas"), { width: Math.round(width * scale), height: Math.round(height * scale) });
    canvas.getContext("2d").drawImage(source, 0, 0, canvas.width, canvas.height);
    return new Promise((resolve) => canvas.toBlob(resolve, "image/jpeg", 0.85));
  }

  function sentence(error) {
    if (error.name === "NotAllowedError") return "The phone does not let this page use the camera: allow it in the browser's settings for this site, or take a photo.";
    if (error.name === "NotFoundError") return "This device has no camera: take a photo elsewhere, or type the code.";
    return "The camera could not be opened: close what else uses it, or take a photo.";
  }

  // A photo goes off by itself once it is taken, and small: signal is poor between tanks.
  async function send(input) {
    const [file] = input.files;
    if (!file) return;
    if (file.size > LARGE_BYTES) {
      try {
        const picture = await createImageBitmap(file);
        const small = await drawn(picture, picture.width, picture.height, PHOTO_PX);
        const files = new DataTransfer();
        files.items.add(new File([small], "label.jpg", { type: "image/jpeg" }));
        input.files = files.files;
      } catch {
        // It goes as it is; Penstock says what is wrong with it.
      }
    }
    sheet.requestSubmit();
  }

  document.querySelector("#code").form.addEventListener("submit", (event) => {
    const way = kept([event.target.elements.code.value]);
    if (!way) return;
    event.preventDefault();
    location.assign(way);
  });
  sheet.elements.photo.addEventListener("change", (event) => send(event.target));
  if (!navigator.mediaDevices?.getUserMedia) {
    document.querySelector("[data-no-camera]").hidden = window.isSecureContext;
    return;
  }
  card.hidden = false;
  button.addEventListener("click", () => (isOpen ? stop("The camera is closed.") : start()));
  window.addEventListener("pagehide", () => stop(""));
  document.addEventListener("visibilitychange", () => document.hidden && isOpen && stop("The camera is closed."));
  // Whoever allowed it before wants to scan, not to read.
  const asked = document.querySelector("[role=alert]") ? undefined : navigator.permissions?.query({ name: "camera" });
  asked?.then((told) => told.state === "granted" && !isOpen && start(), () => {});
})();

// Lets this phone be called: asks the browser for a subscription and puts it on the sheet.
"use strict";
(() => {
  const card = document.querySelector("[data-server-key]");
  const says = document.getElementById("push-says");
  const form = card?.querySelector("form");
  if (!form) return;
  const button = form.querySelector('[type="submit"], button:not([type])');

  const say = (sentence) => {
    says.textContent = sentence;
    says.hidden = !sentence;
  };

  function missing() {
    if (!window.isSecureContext) return "Open this page over https: on plain http a phone cannot be called.";
    if (!("serviceWorker" in navigator) || !("PushManager" in window)) return "This browser cannot be called. On an iPhone, add Penstock to the home screen first and open it there; or choose e-mail.";
    if (Notification.permission === "denied") return "Messages are blocked for this site in the browser's settings: allow them there and load this page again.";
    return "";
  }

  function bytes(text) {
    const plain = atob(text.replaceAll("-", "+").replaceAll("_", "/"));
    return Uint8Array.from(plain, (one) => one.charCodeAt(0));
  }

  const base64url = (buffer) => btoa(String.fromCharCode(...new Uint8Array(buffer))).replaceAll("+", "-").replaceAll("/", "_").replace(/=+$/, "");

  async function subscription() {
    await navigator.serviceWorker.register("/worker.js");
    const { pushManager } = await navigator.serviceWorker.ready;
    const held = await pushManager.getSubscription();
    const key = bytes(card.dataset.serverKey);
    if (held && base64url(held.options.applicationServerKey) !== card.dataset.serverKey) await held.unsubscribe();
    return pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: key });
  }

  async function fill() {
    if (await Notification.requestPermission() !== "granted") throw new Error("The browser was not allowed to show messages.");
    const made = await subscription();
    form.elements.endpoint.value = made.endpoint;
    form.elements.p256dh.value = base64url(made.getKey("p256dh"));
    form.elements.auth.value = base64url(made.getKey("auth"));
  }

  form.addEventListener("submit", async (event) => {
    if (form.elements.endpoint.value) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    const sentence = missing();
    if (sentence) return say(sentence);
    say("Asking the browser …");
    try {
      await fill();
      say("");
      form.requestSubmit();
    } catch (fault) {
      say(`The browser gave no subscription: ${fault.message} Without the internet there is none; choose e-mail instead.`);
    }
  }, true);

  say(missing());
  if (button) button.disabled = Boolean(missing());
})();

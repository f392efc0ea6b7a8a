// A bath's minutes run out before everybody's eyes: the words count down, the phone shakes and
// sounds when they are over. The house calls too (alert of the water); this is for who stands there.
"use strict";
(() => {
  const bath = document.querySelector("[data-bath-until]");
  const left = bath && bath.querySelector("[data-bath-left]");
  if (!left) return;
  const until = Date.parse(bath.dataset.bathUntil);
  const title = document.title;
  let called = false;

  function sound() {
    const Audio = window.AudioContext;
    if (!Audio) return;
    const context = new Audio();
    const tone = context.createOscillator();
    tone.frequency.value = 880;
    tone.connect(context.destination);
    tone.start();
    tone.stop(context.currentTime + 1.2);
  }

  function call() {
    called = true;
    bath.setAttribute("role", "alert");
    // Browsers let a page shake and sound only after somebody touched it.
    if (!navigator.userActivation?.hasBeenActive) return;
    navigator.vibrate?.([400, 200, 400, 200, 400]);
    sound();
  }

  function tick() {
    const seconds = Math.round((until - Date.now()) / 1000);
    const minutes = Math.floor(Math.abs(seconds) / 60);
    const rest = String(Math.abs(seconds) % 60).padStart(2, "0");
    left.textContent = seconds >= 0 ? `${minutes}:${rest} left.` : `Over since ${minutes}:${rest}. Take them out now.`;
    document.title = seconds >= 0 ? `${minutes}:${rest} ${title}` : `Over! ${title}`;
    if (seconds < 0 && !called) call();
  }

  tick();
  setInterval(tick, 1000);
})();

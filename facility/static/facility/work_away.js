// How the day's work is answered without signal: the sheet's buttons and boxes become the deed's command.
"use strict";
(() => {
  const { outbox } = window.penstock;
  const now = () => new Date().toISOString();

  outbox.shapes["facility.answer-task"] = (_, { task_id, outcome, why, words, happened_at = now(), corrects_id = null, reason = "" }) => {
    const why_not = outcome === "DONE" ? "" : [why, words].filter(Boolean).join(": ");
    if (outcome !== "DONE" && !why_not) throw new Error("Tap a reason, or write your own.");
    return { command: { task_id, outcome, why_not, happened_at, corrects_id, reason } };
  };

  const BETWEEN = { both: [true, true], hands: [false, true], kit: [true, false], neither: [false, false] };
  outbox.shapes["facility.take-break"] = (_, { site_id, from_rank, to_rank, said }) => {
    const [kit_changed, hands_disinfected] = BETWEEN[said];
    return { command: { site_id, from_rank: Number(from_rank), to_rank: Number(to_rank), kit_changed, hands_disinfected, happened_at: now() } };
  };
})();

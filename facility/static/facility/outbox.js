/* Entries wait on the device until Penstock has answered for each of them.

   WHAT A PAGE MAY USE
   penstock.outbox.add({deed, command, about, says, sheet}) -> Promise of the entry
       deed      the deed's name, such as "tanks.log-feeding"
       command   its JSON, the same as for POST /api/deeds/<deed>/. Moments carry their offset. Leave "id"
                 out: the entry's own id is put in, so that a lost answer is harmless.
       about     the address of the page it belongs to; says: a few words for people ("Feed of A-01, 3 g").
      sheet     how the sheet was filled in, so that a refused entry is mended on it: {at, command, values, labels}
   penstock.outbox.list() -> Promise of all entries, oldest first: {id, deed, command, about, says, made_at,
       person_id, person_name, state, sentence, field, asks}
       state     "waiting" (on this device), "sent", or "refused" (with its sentence)
   penstock.outbox.send()            try now; nothing is sent twice
   penstock.outbox.mend(seq, command, {says, sheet}) a refused entry goes again with what was changed, under a new id
   penstock.outbox.drop(seq, reason)  taken out; Penstock is told that, and why
   penstock.outbox.moment("2026-03-29T13:05", "Europe/Lisbon") -> the same by that clock, with its offset
   document event "penstock:outbox"  after every change; detail {waiting, refused, says}

   A SHEET GOES IN BY ITSELF (entry.js) when there is no signal, and is filled in again at #mend-<seq>, if its
   <form method="post"> has
   data-outbox-deed      the deed
   data-outbox-command   JSON of what the sheet does not ask, such as {"vessel_id": "..."}
   data-outbox-says      words for people; {name} is exchanged for what was typed in that control
   data-outbox-at        the address that draws this very sheet again, where it is not the page's own
   Every named control becomes the command's field of that name: empty ones are left out, a tick is true,
   several boxes of one name are a list, datetime-local is read by the clock of the nearest [data-zone],
   a comma in a control with inputmode=decimal is a point. data-outbox-field="other_name" renames one;
   data-outbox-field="" leaves one out.
   A list of rows, such as readings: each row's element has data-outbox-row="readings" and data-outbox-values
   (JSON of what it does not ask, such as {"parameter": "TAN", "method_id": "...", "unit": "mg/L", "basis": "N"});
   its controls with data-outbox-field="text" give the row's fields, the first that is filled in. A row with
   none filled in is left out; each row gets an id of its own. Controls in rows without data-outbox-field do not count.
   What cannot be said so: penstock.outbox.shapes["tanks.log-dose"] = (form, command) => ({command, before}), or a promise of it,
   where before, if any, lists {deed, command, says} that must come first and bear ids of their own. It throws
   an Error with a sentence to keep the sheet and show it.
   With signal the sheet is posted as ever. */
"use strict";
(() => {
  const penstock = window.penstock;
  const { store } = penstock;
  const BATCH = 40;
  const KEPT_SENT = 60;
  const PAUSES_S = [2, 5, 15, 30, 60];
  let tries = 0;
  let timer;
  let busy = false;
  let again = false;
  let note = "";

  const cookie = (name) => document.cookie.match(new RegExp(`(?:^|; )${name}=([^;]*)`))?.[1] ?? "";

  async function add({ deed, command, about = location.pathname, says = deed, sheet }) {
    const entry = await entryOf({ deed, command, about, says, sheet });
    entry.seq = await store.add(entry);
    navigator.storage?.persist?.().catch(() => {}); // ask the browser not to clear it
    await tell();
    send();
    return entry;
  }

  // What bears a known id, such as a plain method that any of many sheets may be the first to use.
  async function addOnce({ deed, command, says }) {
    if ((await store.entries()).some((entry) => entry.id === command.id)) return;
    await store.add({ ...(await entryOf({ deed, command, about: location.pathname, says, id: command.id })) });
  }

  async function entryOf(told) {
    const id = told.id ?? store.uuid();
    const hands = (await penstock.hands?.now()) ?? {};
    return {
      ...told,
      id,
      command: { ...told.command, id },
      made_at: new Date().toISOString(), // by this device's clock, whatever it says
      person_id: hands.person_id ?? document.body.dataset.person ?? "",
      person_name: hands.name ?? document.body.dataset.personName ?? "",
      token: hands.token ?? "",
      state: "waiting",
      sentence: "",
      field: "",
      asks: [],
    };
  }

  async function send() {
    clearTimeout(timer);
    if (busy) {
      again = true;
      return;
    }
    busy = true;
    try {
      await alone(sendAll);
      tries = 0;
    } catch (error) {
      note = error.sentence ?? "";
      tries += 1;
    } finally {
      busy = false;
    }
    await tell();
    if (again) {
      again = false;
      await send();
    } else if ((await waiting()).length) {
      timer = setTimeout(send, 1000 * PAUSES_S[Math.min(tries, PAUSES_S.length - 1)]);
    }
  }

  // Two pages of one phone take turns; where there are no locks, the server takes each entry once all the same.
  function alone(act) {
    if (!navigator.locks) return act();
    return navigator.locks.request("penstock-outbox", act);
  }

  async function sendAll() {
    const asked = new Set();
    for (;;) {
      const batch = (await waiting()).filter((entry) => !asked.has(entry.id)).slice(0, BATCH);
      if (!batch.length) break;
      for (const entry of batch) asked.add(entry.id);
      await settle(batch, await post(batch));
    }
    await sweep();
  }

  async function waiting() {
    return (await store.entries()).filter((entry) => entry.state === "waiting");
  }

  async function post(batch) {
    const answer = await fetch("/api/sync/", {
      method: "POST",
      credentials: "same-origin",
      cache: "no-store",
      headers: { "Content-Type": "application/json", "X-CSRFToken": cookie("csrftoken") },
      body: JSON.stringify({ device_now: new Date().toISOString(), entries: batch.map(wire) }),
      signal: timeout(60),
    });
    if (answer.status === 401 || answer.status === 403) throw problem("Sign in to send what waits on this device.");
    if (!answer.ok) throw problem(`Penstock could not take them now (${answer.status}); they are tried again.`);
    note = "";
    return (await answer.json()).answers;
  }

  function wire({ id, deed, command, made_at, person_id, token, dropped }) {
    return { id, deed, command, made_at, person: person_id || null, token, dropped: dropped ?? "" };
  }

  async function settle(batch, answers) {
    const byId = new Map(answers.map((answer) => [answer.id, answer]));
    for (const entry of batch) {
      const answer = byId.get(entry.id);
      if (!answer) continue;
      const { says: sentence, field, asks, answer: state } = answer;
      const now = { saved: "sent", refused: "refused", dropped: "dropped" }[state] ?? "waiting";
      await store.put({ ...entry, sentence, field, asks, state: now, answered_at: new Date().toISOString() });
    }
    await tell();
  }

  // What was sent stays to be seen for a while.
  async function sweep() {
    const done = (await store.entries()).filter((entry) => ["sent", "dropped"].includes(entry.state));
    for (const entry of done.slice(0, -KEPT_SENT)) await store.remove(entry.seq);
  }

  async function mend(seq, command, more = {}) {
    const old = (await store.entries()).find((entry) => entry.seq === seq);
    if (old?.state !== "refused") return null;
    const entry = await entryOf({ ...old, ...more, command, id: undefined });
    // It stays the entry of whoever made it, and of when.
    Object.assign(entry, { made_at: old.made_at, person_id: old.person_id, person_name: old.person_name, token: old.token });
    delete entry.seq;
    entry.seq = await store.add(entry);
    await store.remove(seq);
    await tell();
    send();
    return entry;
  }

  async function drop(seq, reason) {
    const old = (await store.entries()).find((entry) => entry.seq === seq);
    if (!old || !reason.trim()) return;
    // Under its own id: had it been saved before without our hearing of it, the answer says so.
    await store.put({ ...old, state: "waiting", dropped: reason.trim(), sentence: `Dropped: ${reason.trim()}` });
    await tell();
    send();
  }

  async function tell() {
    const entries = await store.entries();
    const count = (state) => entries.filter((entry) => entry.state === state && !entry.dropped).length;
    const detail = { waiting: count("waiting"), refused: count("refused"), says: note };
    document.dispatchEvent(new CustomEvent("penstock:outbox", { detail }));
    return detail;
  }

  function problem(sentence) {
    return Object.assign(new Error(sentence), { sentence });
  }

  function timeout(seconds) {
    return AbortSignal.timeout?.(1000 * seconds);
  }

  // The wall clock of the site, which need not be the phone's: find the offset that reads back the same.
  function moment(wall, zone) {
    const asUtc = Date.parse(`${wall.length === 16 ? `${wall}:00` : wall}Z`);
    if (Number.isNaN(asUtc)) throw new Error("Write a date and time.");
    const first = asUtc - offset_ms(asUtc, zone);
    return new Date(asUtc - offset_ms(first, zone)).toISOString();
  }

  function offset_ms(at, zone) {
    const told = new Intl.DateTimeFormat("en-GB", {
      timeZone: zone, hourCycle: "h23", year: "numeric", month: "2-digit", day: "2-digit",
      hour: "2-digit", minute: "2-digit", second: "2-digit",
    }).formatToParts(new Date(at));
    const part = Object.fromEntries(told.map(({ type, value }) => [type, value]));
    const wall = Date.parse(`${part.year}-${part.month}-${part.day}T${part.hour}:${part.minute}:${part.second}Z`);
    return wall - Math.floor(at / 1000) * 1000;
  }

  // The same clock the other way, for a datetime-local control.
  function wall(at, zone) {
    return new Date(at.getTime() + offset_ms(at.getTime(), zone)).toISOString().slice(0, 16);
  }

  penstock.outbox = { add, addOnce, list: store.entries, send, mend, drop, tell, moment, wall, cookie, shapes: {} };

  const soon = () => send().catch(() => {});
  window.addEventListener("online", soon);
  document.addEventListener("visibilitychange", () => document.hidden || soon());
  document.addEventListener("DOMContentLoaded", () => tell().then(soon, () => {}));
})();

// What this device keeps for itself, in IndexedDB: the entries of the outbox, and whose hands hold it.
// Without storage (a private window in some browsers) everything here rejects, and callers say so.
"use strict";
(() => {
  const penstock = (window.penstock ??= {});
  let opened;

  function open() {
    opened ??= new Promise((resolve, reject) => {
      const asked = indexedDB.open("penstock", 1);
      asked.onupgradeneeded = () => {
        const entries = asked.result.createObjectStore("entries", { keyPath: "seq", autoIncrement: true });
        entries.createIndex("id", "id", { unique: true });
        asked.result.createObjectStore("hands", { keyPath: "key" });
      };
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => reject(asked.error);
    });
    opened.catch(() => (opened = undefined));
    return opened;
  }

  // Resolves once the device says it is written, not once it was asked to.
  async function within(store, mode, act) {
    const base = await open();
    return new Promise((resolve, reject) => {
      const turn = base.transaction(store, mode, { durability: "strict" });
      const asked = act(turn.objectStore(store));
      turn.oncomplete = () => resolve(asked?.result);
      turn.onabort = turn.onerror = () => reject(turn.error);
    });
  }

  function uuid() {
    if (crypto.randomUUID) return crypto.randomUUID(); // only https and localhost have it
    const bytes = crypto.getRandomValues(new Uint8Array(16));
    bytes[6] = (bytes[6] & 0x0f) | 0x40;
    bytes[8] = (bytes[8] & 0x3f) | 0x80;
    const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
  }

  penstock.store = {
    uuid,
    add: (entry) => within("entries", "readwrite", (all) => all.add(entry)),
    put: (entry) => within("entries", "readwrite", (all) => all.put(entry)),
    remove: (seq) => within("entries", "readwrite", (all) => all.delete(seq)),
    entries: () => within("entries", "readonly", (all) => all.getAll()),
    keep: (row) => within("hands", "readwrite", (all) => all.put(row)),
    kept: (key) => within("hands", "readonly", (all) => all.get(key)),
    forget: (key) => within("hands", "readwrite", (all) => all.delete(key)),
  };
})();

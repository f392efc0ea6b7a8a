// Keeps pages for a shift without signal. Network first: a kept page is shown only when none can be had.
// Nothing that is sent passes through here; entries wait in the outbox, on the page's side.
"use strict";
(() => {
  const { version, shell, outbox, sign_out } = self.told;
  const STATIC = `static-${version}`;
  const PAGES = "pages";
  const KEPT_AT = "x-kept-at";
  const MOST_PAGES = 600;
  const PATIENCE_MS = 5000;
  const FRESH_MS = 5 * 60 * 1000;
  const AT_ONCE = 4;
  // Grows as somebody signs out: what was asked for before is no longer kept.
  let signedOut = 0;

  self.addEventListener("install", (event) => event.waitUntil(install()));
  self.addEventListener("activate", (event) => event.waitUntil(activate()));
  self.addEventListener("message", (event) => {
    if (event.data?.take) event.waitUntil(takeAll(event.data.take, event.source));
  });
  self.addEventListener("fetch", (event) => {
    const { request } = event;
    const url = new URL(request.url);
    if (url.origin !== location.origin) return;
    if (request.method !== "GET") {
      if (request.mode === "navigate") event.respondWith(posted(request, url));
    } else if (url.pathname.startsWith("/static/")) {
      event.respondWith(fixed(request));
    } else if (request.mode === "navigate") {
      event.respondWith(page(event));
    }
  });

  async function install() {
    await (await caches.open(STATIC)).addAll(shell);
    // Fetched as nobody, so that it stands there for whoever holds the phone.
    const answer = await fetch(outbox, { credentials: "omit", cache: "no-store" });
    if (answer.ok) await (await caches.open(STATIC)).put(outbox, await dated(answer));
    await self.skipWaiting();
  }

  async function activate() {
    for (const name of await caches.keys()) {
      if (name.startsWith("static-") && name !== STATIC) await caches.delete(name);
    }
    await self.clients.claim();
  }

  async function fixed(request) {
    const cache = await caches.open(STATIC);
    const held = await cache.match(request);
    if (held) return held;
    const answer = await fetch(request);
    if (answer.ok) await cache.put(request, answer.clone());
    return answer;
  }

  async function page(event) {
    const { request } = event;
    const since = signedOut;
    const held = await heldPage(request.url);
    try {
      const asked = fetch(request);
      const answer = await (held ? Promise.race([asked, late()]) : asked);
      if (held && answer.status >= 502 && answer.status <= 504) return shown(held);
      if (isWorthKeeping(answer)) event.waitUntil(keep(request.url, answer.clone(), since));
      return answer;
    } catch {
      return held ? shown(held) : missing(request.url);
    }
  }

  async function heldPage(url) {
    const cache = await caches.open(PAGES);
    const { pathname } = new URL(url);
    return (await cache.match(url)) ?? cache.match(alias(pathname)) ?? undefined;
  }

  // A label's address leads to its tank, typed in whatever letters.
  function alias(pathname) {
    return new Request(`${location.origin}/_known-as${pathname.toUpperCase().replace(/\/$/, "")}`);
  }

  function late() {
    return new Promise((_, reject) => setTimeout(reject, PATIENCE_MS, new Error("late")));
  }

  function isWorthKeeping(answer) {
    return answer.ok && !answer.redirected && answer.type === "basic" && isHtml(answer);
  }

  const isHtml = (answer) => (answer.headers.get("content-type") ?? "").startsWith("text/html");

  async function keep(url, answer, since) {
    if (since !== signedOut) return;
    const cache = await caches.open(PAGES);
    const copy = await dated(answer);
    const known = (await copy.clone().text()).match(/data-known-as="([^"]+)"/)?.[1];
    if (known) await cache.put(alias(known), copy.clone());
    await cache.put(url, copy);
    const keys = await cache.keys();
    for (const old of keys.slice(0, Math.max(0, keys.length - MOST_PAGES))) await cache.delete(old);
    if (since !== signedOut) await caches.delete(PAGES);
  }

  async function dated(answer) {
    const headers = new Headers({ "content-type": "text/html; charset=utf-8", [KEPT_AT]: new Date().toISOString() });
    const policy = answer.headers.get("content-security-policy");
    if (policy) headers.set("content-security-policy", policy);
    return new Response(await answer.text(), { headers });
  }

  // A kept page says on its body since when it is kept; away.js tells people.
  async function shown(held, more = "") {
    const text = await held.text();
    const marked = text.replace("<body", `<body data-kept-at="${held.headers.get(KEPT_AT)}"${more}`);
    return new Response(marked, { headers: held.headers });
  }

  async function missing(url) {
    const held = await (await caches.open(STATIC)).match(outbox);
    const { pathname } = new URL(url);
    if (!held) return Response.error();
    return shown(held, pathname === outbox ? "" : ` data-missing="${encodeURI(pathname)}"`);
  }

  async function posted(request, url) {
    if (url.pathname !== sign_out) return sent(request);
    await forget();
    const answer = await sent(request);
    // What was fetched until the server knew is forgotten too.
    await forget();
    return answer;
  }

  async function sent(request) {
    try {
      return await fetch(request);
    } catch {
      return new Response(UNSENT, { status: 503, headers: { "content-type": "text/html; charset=utf-8" } });
    }
  }

  async function forget() {
    signedOut += 1;
    await caches.delete(PAGES);
  }

  const UNSENT = `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width">
    <title>Not sent</title><h1>Not sent: there is no signal</h1>
    <p>Go back; what you typed is still on the sheet. Send it when there is signal.</p>`;

  // The pages of a round and those that these name in turn; what is fresh is left as it is.
  async function takeAll(urls, asker) {
    const wanted = new Set(urls);
    const done = new Set();
    let taken = 0;
    const next = async () => {
      for (const url of wanted) {
        if (done.has(url)) continue;
        done.add(url);
        const more = await take(url).catch(() => null);
        if (more === null) continue;
        taken += 1;
        if (urls.includes(url)) for (const one of more) wanted.add(one);
      }
    };
    await Promise.all(Array.from({ length: AT_ONCE }, next));
    asker?.postMessage({ taken, of: wanted.size });
  }

  async function take(url) {
    const since = signedOut;
    const held = await heldPage(url);
    if (held && Date.now() - Date.parse(held.headers.get(KEPT_AT)) < FRESH_MS) return along(await held.text());
    const answer = await fetch(url, { credentials: "same-origin", cache: "no-store" });
    if (!isWorthKeeping(answer)) return null;
    const text = await answer.clone().text();
    await keep(url, answer, since);
    await dress(text);
    return along(text);
  }

  function along(text) {
    const ways = text.match(/<a\b[^>]*\bdata-take-along\b[^>]*>/g) ?? [];
    return ways.map((way) => way.match(/\bhref="([^"]+)"/)?.[1]).filter(Boolean)
      .map((href) => new URL(href.replaceAll("&amp;", "&"), location.origin).href);
  }

  async function dress(text) {
    const cache = await caches.open(STATIC);
    for (const [, path] of text.matchAll(/(?:href|src)="(\/static\/[^"]+)"/g)) {
      if (!(await cache.match(path))) await cache.add(path).catch(() => {});
    }
  }
})();

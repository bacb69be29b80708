// Shows a trade its page as it last stood where there is no connection: for reading
// only. Nothing else is kept than that page and the files it is shown with, and both are
// forgotten as soon as the service answers that the link has ended.
"use strict";
const shelf = "mine", page = "/mine";
const patience = 6000; // ms: so long a connection may be slow

const forget = () => caches.delete(shelf);

// ended says that whoever asks is not the trade any more.
const ended = (r) => r.type === "opaqueredirect" || r.redirected || [401, 403, 404, 410].includes(r.status);

// take puts an answer of the service on the shelf as the page.
async function take(r) {
  if (ended(r)) return forget();
  if (r.ok) return (await caches.open(shelf)).put(page, r);
}

// takeNow asks for the page as it stands now.
async function takeNow() {
  const r = await fetch(page, { cache: "no-store" }).catch(() => null);
  if (r) await take(r);
}

// keepFiles keeps what the page is shown with, and no older ones.
async function keepFiles(files) {
  const box = await caches.open(shelf);
  if (!(await box.match(page))) await takeNow();
  if (!(await box.match(page))) return forget();
  for (const k of await box.keys()) {
    const at = new URL(k.url);
    if (at.pathname !== page && !files.includes(at.pathname + at.search)) await box.delete(k);
  }
  for (const f of files) if (!(await box.match(f))) await box.add(f).catch(() => {});
}

// asKept is the page from the shelf, which says that it is.
async function asKept(unsent) {
  const r = await (await caches.open(shelf)).match(page);
  if (!r) return Response.error();
  let text = (await r.text()).replace(/(<p class="kept"[^>]*) hidden>/, "$1>");
  if (unsent) text = text.replace(/(<p class="problem" id="unsent"[^>]*) hidden>/, "$1>");
  const headers = new Headers(r.headers);
  headers.delete("Content-Encoding");
  headers.delete("Content-Length");
  return new Response(text, { headers });
}

// show is the page from the service, or from the shelf where it does not answer in time.
async function show(event) {
  const asked = fetch(event.request);
  const known = await (await caches.open(shelf)).match(page);
  const timely = new Promise((_, no) => setTimeout(no, patience));
  try {
    const r = await (known ? Promise.race([asked, timely]) : asked);
    // What was just said of an answer is no part of the page.
    event.waitUntil(r.ok && new URL(event.request.url).search ? takeNow() : take(r.clone()));
    return r;
  } catch {
    asked.catch(() => {});
    return asKept(false);
  }
}

// send brings an answer of the trade to the service, and never keeps it for later: what
// was meant today may be wrong tomorrow.
async function send(event) {
  try {
    const r = await fetch(event.request);
    if ([401, 403, 410].includes(r.status)) await forget();
    return r;
  } catch {
    return asKept(true);
  }
}

async function file(request) {
  return (await caches.match(request)) || fetch(request);
}

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (e) => e.waitUntil(self.clients.claim()));
self.addEventListener("message", (e) => e.waitUntil(keepFiles(e.data.keep)));
self.addEventListener("fetch", (e) => {
  const at = new URL(e.request.url);
  if (at.origin !== self.location.origin) return;
  if (e.request.mode === "navigate" && e.request.method === "POST") e.respondWith(send(e));
  else if (e.request.mode === "navigate" && at.pathname === page) e.respondWith(show(e));
  else if (e.request.method === "GET" && at.pathname.startsWith("/static/")) e.respondWith(file(e.request));
});

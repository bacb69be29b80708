// Keeps a trade's page for reading without a connection. Without this script the page
// is complete; it then needs a connection each time.
"use strict";
(() => {
  const workers = navigator.serviceWorker;
  if (!workers) return;

  // files is what the page is shown with: without a connection it should look the same.
  const files = () => [...document.querySelectorAll('link[href^="/static/"], script[src^="/static/"], img[src^="/static/"]')]
    .map((e) => e.getAttribute("href") || e.getAttribute("src"));

  const worker = document.querySelector("[data-worker]").dataset.worker;
  workers.register(worker, { scope: "/mine" })
    .then(() => workers.ready)
    .then((r) => r.active.postMessage({ keep: files() }))
    .catch(() => {}); // refused by the browser: the page works without

  // Whoever signs out leaves nothing behind on this device.
  const out = document.querySelector('form[action="/sign-out"]');
  if (out) out.addEventListener("submit", async (e) => {
    e.preventDefault();
    try {
      for (const name of await caches.keys()) await caches.delete(name);
      const r = await workers.getRegistration("/mine");
      if (r) await r.unregister();
    } finally {
      out.submit();
    }
  });
})();

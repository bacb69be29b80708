// Shows the page anew when the job has changed elsewhere. What has been typed is never
// lost: then one line says so, with a link. Without this script the page is complete.
"use strict";
(() => {
  const page = document.body;
  const said = document.getElementById("live");
  const retry = 15000, patience = 1500; // ms: to a refused stream, for the plan of a revision
  let stream, timer, busy = false, again = false;

  // shown is which plan the page shows.
  const shown = () => ({ revision: Number(page.dataset.revision), take: Number(page.dataset.take), asOf: page.dataset.asOf });

  const changed = (e) => {
    if (e.type === "hidden" || e.type === "submit") return false;
    if (e.type === "checkbox" || e.type === "radio") return e.checked !== e.defaultChecked;
    if (e.tagName === "SELECT") {
      const first = [...e.options].findIndex((o) => o.defaultSelected);
      return e.selectedIndex !== Math.max(first, 0);
    }
    return e.value !== e.defaultValue;
  };
  const typed = () => [...document.querySelectorAll("input, select, textarea")].some(changed);

  const offer = (href) => {
    const link = document.createElement("a");
    link.href = href;
    link.textContent = "show it";
    said.replaceChildren("The plan has changed; ", link, ".");
  };

  const address = () => {
    const here = new URL(location.href);
    ["said", "was", "moved"].forEach((name) => here.searchParams.delete(name));
    here.hash = "";
    return here;
  };

  // place puts another state of the page in its place; scrolling, what is open and the
  // focus stay.
  const place = (fresh) => {
    const at = [scrollX, scrollY], focus = document.activeElement;
    const boxes = () => [...document.querySelectorAll(".scroll, .field")];
    const scrolled = boxes().map((b) => [b.scrollLeft, b.scrollTop]);
    const open = [...document.querySelectorAll("details")].map((d) => d.open);
    const find = focus && (focus.id ? "#" + CSS.escape(focus.id) : focus.getAttribute("href") && `a[href="${CSS.escape(focus.getAttribute("href"))}"]`);
    for (const part of ["header", "main"]) document.querySelector(part).replaceWith(fresh.querySelector(part));
    Object.assign(page.dataset, fresh.body.dataset);
    document.title = fresh.title;
    document.dispatchEvent(new Event("renewed"));
    document.querySelectorAll("details").forEach((d, k) => { if (open[k] !== undefined) d.open = open[k]; });
    boxes().forEach((b, k) => { if (scrolled[k]) [b.scrollLeft, b.scrollTop] = scrolled[k]; });
    if (find && !document.contains(focus)) document.querySelector(find)?.focus({ preventScroll: true });
    scrollTo(...at);
    said.textContent = "The plan has changed; this page shows it as it is now.";
  };

  const renew = async () => {
    if (busy) { again = true; return; }
    busy = true;
    try {
      do {
        again = false;
        if (typed()) { offer(address()); break; }
        const answer = await fetch(address(), { headers: { Accept: "text/html" } });
        if (!answer.ok || answer.redirected) { offer(page.dataset.home); break; }
        const fresh = new DOMParser().parseFromString(await answer.text(), "text/html");
        if (typed()) { offer(address()); break; }
        place(fresh);
      } while (again);
    } catch { offer(address()); } finally { busy = false; }
  };

  const heard = (kind) => (e) => {
    const news = JSON.parse(e.data), is = shown();
    if (news.revision < is.revision) return;
    if (kind === "revision" && news.revision > is.revision) {
      clearTimeout(timer);
      timer = setTimeout(renew, patience); // if there is no plan of it by then, the page waits for it
    }
    if (kind === "plan" && (news.revision > is.revision || news.take > is.take) && news.as_of === is.asOf) {
      clearTimeout(timer);
      renew();
    }
  };

  const listen = () => {
    if (stream || document.hidden) return;
    stream = new EventSource(page.dataset.events);
    for (const kind of ["revision", "plan"]) stream.addEventListener(kind, heard(kind));
    stream.onerror = () => { // a lost connection comes back by itself, a refused one does not
      if (stream?.readyState === EventSource.CLOSED) { stream = undefined; setTimeout(listen, retry); }
    };
  };
  document.addEventListener("visibilitychange", () => { // a page in the background takes no connection
    if (document.hidden) { stream?.close(); stream = undefined; } else listen();
  });
  listen();
})();

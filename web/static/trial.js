// On the page of a trial: shows what another day would move while it is being chosen, in
// a form or by dragging a block or a gate of the picture. Letting go sends the form that
// does the same without this script.
"use strict";
(() => {
  const pause = 350; // ms after the last change of a form, so that an arrow key held down asks once
  const beat = 120; // ms between two questions while something is dragged; one at a time
  const slack = 4; // px before pressing becomes dragging
  let timer, asking;

  // look shows what the change in a form would come to, and adds nothing.
  const look = async (form) => {
    const fields = asked(form);
    asking?.abort();
    asking = new AbortController();
    const effect = document.getElementById("effect");
    effect.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(location.pathname + "?" + fields, { signal: asking.signal });
      if (!answer.ok) return;
      const fresh = parsed(await answer.text()).getElementById("effect");
      if (fresh) effect.replaceChildren(...fresh.childNodes);
      effect.removeAttribute("aria-busy");
    } catch (e) {
      if (e.name !== "AbortError") effect.removeAttribute("aria-busy");
    }
  };

  // asked is what a form says, without what makes sending it count.
  const asked = (form) => {
    const fields = new URLSearchParams(new FormData(form));
    for (const name of ["request", "seen"]) fields.delete(name);
    return fields;
  };
  const parsed = (text) => new DOMParser().parseFromString(text, "text/html");

  document.addEventListener("input", (e) => {
    const form = e.target.closest("form[data-try]");
    if (!form || !form.elements.step.value || !form.elements.day.value) return;
    clearTimeout(timer);
    timer = setTimeout(look, pause, form);
  });

  // What is pressed, and what is held and moved: one thing at a time.
  let pressed, held, dropped = false;

  // thing is a block or a gate that can be moved, with the form that moves it.
  const thing = (link) => {
    const box = link?.closest(".trying[data-days]");
    if (!box) return;
    const says = new URLSearchParams(link.getAttribute("href").split("#")[0]);
    const what = ["pin", "expected"].find((w) => says.has(w));
    const form = what && document.querySelector(`form[data-try] input[value="${what}"]`)?.form;
    if (!form) return;
    const [first, ...lefts] = box.dataset.days.split(" ");
    const gate = link.querySelector("use"); // stands on its middle, a block begins at its left
    const home = gate ? Number(gate.getAttribute("x")) : link.querySelector("path").getBBox().x;
    const t = { link, box, what, form, step: says.get(what), first: Date.parse(first), lefts: lefts.map(Number), home };
    t.from = t.at = dayAt(t, home);
    return t;
  };
  const dayAt = (t, x) => {
    let k = 0;
    while (k + 2 < t.lefts.length && t.lefts[k + 1] <= x + 1) k++;
    return k;
  };
  const date = (t, k) => new Date(t.first + k * 86400000).toISOString().slice(0, 10);
  const told = (t) => t.box.querySelector(".shadowed");

  const fill = (t) => {
    const at = t.form.elements;
    at.step.value = t.step;
    at.day.value = date(t, t.at);
    if (at.how) at.how.value = t.at < t.from ? "on" : ""; // later: not before that day
  };

  // ask asks what the day would move to which the thing has come; then for the next one.
  const ask = async (t) => {
    if (t !== held || t.asking || t.at === t.answered) return;
    t.asking = true;
    const at = t.at;
    try {
      if (at === t.from) {
        show(t, undefined);
      } else {
        fill(t);
        const answer = await fetch(t.box.dataset.would + "?" + asked(t.form));
        if (t === held) show(t, parsed(await answer.text()).querySelector(".would"));
      }
      t.answered = at;
    } catch { /* the next day is asked for all the same */ }
    setTimeout(() => { t.asking = false; ask(t); }, beat);
  };

  // show draws the shadows of an answer and says it.
  const show = (t, would) => {
    t.box.querySelectorAll(".shadow").forEach((s) => s.remove());
    told(t).replaceChildren(...(would?.querySelectorAll("p") ?? []));
    if (!would) return;
    const links = new Map();
    for (const link of t.box.querySelectorAll("a")) {
      const says = new URLSearchParams(link.getAttribute("href").split("#")[0]);
      const step = says.get("pin") ?? says.get("expected");
      if (step) links.set(step, [...(links.get(step) ?? []), link]);
    }
    for (const { dataset: d } of would.querySelectorAll("li")) {
      for (const link of links.get(d.step) ?? []) {
        const shape = link.querySelector("path, use").getBBox();
        const rect = document.createElementNS("http://www.w3.org/2000/svg", "rect");
        const is = { class: "shadow", x: d.from, width: d.to - d.from, y: shape.y, height: shape.height };
        for (const name in is) rect.setAttribute(name, is[name]);
        link.ownerSVGElement.append(rect);
      }
    }
  };

  const hold = (t) => {
    held = t;
    t.link.classList.add("held");
    t.box.querySelector(".told")?.replaceChildren();
  };

  // to moves the thing so that it begins at a place, in pixels of the picture.
  const to = (t, x) => {
    t.link.setAttribute("transform", `translate(${x - t.home} 0)`);
    t.at = dayAt(t, x);
    ask(t);
  };

  const leave = () => {
    if (!held) return;
    held.link.classList.remove("held");
    held.link.removeAttribute("transform");
    show(held, undefined);
    held = undefined;
  };

  // drop writes where the thing is as a change of the trial, and shows the trial.
  const drop = async () => {
    const t = held;
    if (t.at === t.from) return leave();
    fill(t);
    held = undefined;
    t.box.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(t.form.action, { method: "POST", body: new URLSearchParams(new FormData(t.form)) });
      const fresh = parsed(await answer.text());
      if (!fresh.querySelector(".trying, #effect")) throw new Error(answer.status);
      const field = t.box.querySelector(".field"), at = [scrollX, scrollY, field.scrollLeft, field.scrollTop];
      document.querySelector("main").replaceWith(fresh.querySelector("main"));
      const now = document.querySelector(".trying .field");
      if (now) [, , now.scrollLeft, now.scrollTop] = at;
      scrollTo(at[0], at[1]);
      const again = [...document.querySelectorAll(".trying a")].find((a) => a.getAttribute("href") === t.link.getAttribute("href"));
      again?.focus({ preventScroll: true });
    } catch {
      t.box.removeAttribute("aria-busy");
      t.link.removeAttribute("transform");
      t.link.classList.remove("held");
      told(t).textContent = "It was not put into the trial: the service did not answer. Try again.";
    }
  };

  const linkAt = (e) => e.target.closest?.(".trying[data-days] .field a");
  document.addEventListener("pointerdown", (e) => {
    dropped = false;
    if (!e.isPrimary || e.button !== 0 || held) return;
    const t = thing(linkAt(e));
    if (t) pressed = { t, x: e.clientX, off: e.clientX - t.link.ownerSVGElement.getBoundingClientRect().left - t.home };
  });
  document.addEventListener("pointermove", (e) => {
    if (pressed && Math.abs(e.clientX - pressed.x) > slack && !held) {
      hold(pressed.t);
      held.link.setPointerCapture(e.pointerId);
    }
    if (!pressed || held !== pressed.t) return;
    const field = held.box.querySelector(".field"), edge = field.getBoundingClientRect();
    if (e.clientX > edge.right - 24) field.scrollLeft += 16;
    if (e.clientX < edge.left + 24) field.scrollLeft -= 16;
    to(held, e.clientX - held.link.ownerSVGElement.getBoundingClientRect().left - pressed.off);
  });
  document.addEventListener("pointerup", () => {
    const was = pressed;
    pressed = undefined;
    if (!was || held !== was.t) return;
    dropped = true; // no click follows
    drop();
  });
  document.addEventListener("pointercancel", () => { pressed = undefined; leave(); });
  document.addEventListener("dragstart", (e) => { if (linkAt(e)) e.preventDefault(); });

  // A click leads to the form of the thing, on this page.
  document.addEventListener("click", (e) => {
    const link = linkAt(e);
    if (!link) return;
    if (dropped) { dropped = false; e.preventDefault(); return; }
    const t = thing(link);
    if (!t || e.ctrlKey || e.metaKey || e.shiftKey) return;
    e.preventDefault();
    fill(t);
    t.form.closest("details").open = true;
    t.form.elements.day.focus();
  });

  // By keyboard: Shift and an arrow key move by a day, Enter lets go, Escape leaves it.
  document.addEventListener("keydown", (e) => {
    if (e.key === "Escape" && held) { pressed = undefined; return leave(); }
    const link = linkAt(e), way = { ArrowLeft: -1, ArrowRight: 1 }[e.key];
    if (link && way && e.shiftKey) {
      e.preventDefault();
      if (held?.link !== link) { leave(); const t = thing(link); if (!t) return; hold(t); }
      to(held, held.lefts[Math.min(Math.max(held.at + way, 0), held.lefts.length - 2)]);
    } else if (e.key === "Enter" && held && !pressed && link === held.link) {
      e.preventDefault();
      drop();
    }
  });
  document.addEventListener("focusout", (e) => { if (held && !pressed && e.target === held.link) leave(); });
})();

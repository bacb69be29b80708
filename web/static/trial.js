// Shows what another day of a delivery would move while it is being chosen, on the page
// of a trial. Without this script the button "Look first" does the same.
"use strict";
(() => {
  const pause = 350; // ms after the last change, so that an arrow key held down asks once
  let timer, asking;

  const look = async (form) => {
    const fields = new URLSearchParams();
    for (const name of ["what", "step", "day"]) fields.set(name, form.elements[name].value);
    asking?.abort();
    asking = new AbortController();
    const effect = document.getElementById("effect");
    effect.setAttribute("aria-busy", "true");
    try {
      const answer = await fetch(location.pathname + "?" + fields, { signal: asking.signal });
      if (!answer.ok) return;
      const fresh = new DOMParser().parseFromString(await answer.text(), "text/html").getElementById("effect");
      if (fresh) effect.replaceChildren(...fresh.childNodes);
      effect.removeAttribute("aria-busy");
    } catch (e) {
      if (e.name !== "AbortError") effect.removeAttribute("aria-busy");
    }
  };

  document.addEventListener("input", (e) => {
    const form = e.target.closest("form[data-try]");
    if (!form || !form.elements.step.value || !form.elements.day.value) return;
    clearTimeout(timer);
    timer = setTimeout(look, pause, form);
  });
})();

// Lets a picture over time be scrolled through: it is as wide and as high as the whole job,
// and only the pieces near what is in view are there. Says beside a block or gate, on
// pointing at it and on reaching it by the keyboard, all that holds it where it is, and
// draws its waits. Without this script a page shows one stretch of time, with links to
// others, and the words are on the page behind each block.
"use strict";
(() => {
  const ahead = 0.6; // so many views around the one that is looked at are brought
  const pause = 120; // ms that somebody points at a block before its waits are asked for
  const rest = 250;  // ms without scrolling after which the addresses follow
  const slow = 25;   // ms from one frame to the next
  const atOnce = 4;  // requests

  const parse = (text) => new DOMParser().parseFromString(text, "text/html").body;
  const px = (n) => n + "px";
  const dayNumber = (day) => Date.parse(day) / 864e5;

  // Through is one picture that can be scrolled through.
  class Through {
    constructor(box) {
      this.box = box;
      this.came = box.innerHTML; // what is printed
      this.address = box.dataset.pieces;
      this.days = [];
      this.lefts = [];
      for (const c of box.dataset.columns.split(" ")) {
        const [day, left] = c.split(":");
        this.days.push(day);
        this.lefts.push(Number(left));
      }
      this.tops = box.dataset.tops.split(" ").map(Number);
      this.head = box.querySelector(".head");
      this.body = box.querySelector(".body");
      this.strips = new Map(); // by number: the element, and its columns
      this.staffs = new Map(); // by column
      this.queue = [];
      this.asking = new Map(); // by column and strip: what ends the request
      this.waiting = [];       // to be placed
      box.classList.add("through");
      for (const part of [this.head, this.body]) part.style.width = px(this.lefts.at(-1));
      this.body.style.height = px(this.tops.at(-1));
      this.head.style.height = px(this.head.firstElementChild.height.baseVal.value);
      this.adopt(Number(box.dataset.column), Number(box.dataset.strip));
      box.scrollLeft = this.lefts[Number(box.dataset.column)];
      const first = Number(box.dataset.first ?? 0);
      if (first > box.scrollLeft + 0.8 * box.clientWidth) box.scrollLeft = first - 0.2 * box.clientWidth;
      box.scrollTop = this.tops[Number(box.dataset.strip)];
      box.addEventListener("scroll", () => this.look(), { passive: true });
      new ResizeObserver(() => this.look()).observe(box);
    }

    // leave makes the box again what it was when it came.
    leave() {
      this.ended = true;
      this.box.classList.remove("through");
      this.box.innerHTML = this.came;
    }

    // adopt takes what came with the page for pieces.
    adopt(column, strip) {
      [...this.head.children].forEach((svg, k) => { this.lay(svg, column + k); this.staffs.set(column + k, svg); });
      [...this.body.children].forEach((el, n) => {
        const columns = new Set();
        for (const cols of el.querySelectorAll(".cols")) [...cols.children].forEach((svg, k) => { this.lay(svg, column + k); columns.add(column + k); });
        this.stand(el, strip + n);
        this.strips.set(strip + n, { el, columns });
      });
    }

    lay(svg, column) {
      svg.dataset.column = column;
      svg.style.left = px(this.lefts[column]);
    }

    // stand puts a strip where it belongs. Its boxes are as high as what will lie in them.
    stand(el, strip) {
      el.style.top = px(this.tops[strip]);
      el.style.width = px(this.lefts.at(-1));
      el.style.height = px(this.tops[strip + 1] - this.tops[strip]);
      for (const cols of el.querySelectorAll(".cols")) cols.style.height = px(cols.firstElementChild.height.baseVal.value);
    }

    // span is which parts touch a stretch, given where each begins.
    static span(edges, from, to) {
      let a = 0, z = edges.length - 2;
      while (a < z && edges[a + 1] <= from) a++;
      while (z > a && edges[z] >= to) z--;
      return [a, z];
    }

    // look has the next frame look around, once, however often it is called, and then place
    // one piece; none right after a frame that was late, so that no two of those follow.
    look() {
      this.looking ??= requestAnimationFrame((now) => {
        this.looking = undefined;
        this.around();
        while (this.waiting[0]?.signal.aborted) this.waiting.shift().go();
        const took = now - this.frame, late = !this.rested && took > slow && took < 4 * slow;
        this.frame = now;
        this.rested = late;
        if (!late) this.waiting.shift()?.go();
        if (this.waiting.length) this.look();
      });
    }

    // around asks for what is missing around the view, the middle first, and drops what is
    // far away. What it reads of the page is known as long as nothing was placed before.
    around() {
      const { scrollLeft: x, scrollTop: y, clientWidth: w, clientHeight: h } = this.box;
      if (!w || this.ended) return;
      const cols = Through.span(this.lefts, x - ahead * w, x + w + ahead * w), rows = Through.span(this.tops, y - ahead * h, y + h + ahead * h);
      this.drop(cols, rows);
      this.queue = [];
      for (let c = cols[0]; c <= cols[1]; c++) {
        if (!this.staffs.has(c)) this.want(c);
        for (let s = rows[0]; s <= rows[1]; s++) if (!this.strips.get(s)?.columns.has(c)) this.want(c, s);
      }
      const off = (edges, k, from, size) => Math.abs((edges[k] + edges[k + 1]) / 2 - from - size / 2) / size;
      const far = ([c, s]) => off(this.lefts, c, x, w) + (s === undefined ? -9 : off(this.tops, s, y, h));
      this.queue.sort((a, b) => far(a) - far(b));
      this.ask();
      clearTimeout(this.resting);
      this.resting = setTimeout(() => this.tellWhere(this.box.scrollLeft), rest);
    }

    want(column, strip) {
      if (!this.asking.has(column + "," + strip)) this.queue.push([column, strip]);
    }

    drop(cols, rows) {
      const near = (n, [a, z]) => n >= a - 1 && n <= z + 1;
      for (const [c, svg] of this.staffs) if (!near(c, cols)) { svg.remove(); this.staffs.delete(c); }
      for (const [s, strip] of this.strips) {
        for (const c of strip.columns) {
          if (near(s, rows) && near(c, cols)) continue;
          for (const svg of strip.el.querySelectorAll(`svg[data-column="${c}"]`)) svg.remove();
          strip.columns.delete(c);
        }
        if (!strip.columns.size) { strip.el.remove(); this.strips.delete(s); }
      }
      for (const [key, asking] of this.asking) {
        const [c, s] = key.split(",");
        if (!near(Number(c), cols) || s !== "undefined" && !near(Number(s), rows)) asking.abort();
      }
    }

    ask() {
      while (this.asking.size < atOnce && this.queue.length && !this.ended) this.bring(...this.queue.shift());
      this.box.ariaBusy = this.asking.size > 0;
    }

    async bring(column, strip) {
      const key = column + "," + strip, ending = new AbortController();
      this.asking.set(key, ending);
      try {
        const days = `&from=${this.days[column]}&until=${this.days[column + 1]}`;
        const answer = await fetch(this.address + days + (strip === undefined ? "" : "&strip=" + strip), { signal: ending.signal });
        if (!answer.ok) this.end();
        const text = await answer.text();
        await this.turn(ending.signal);
        this.place(parse(text), column, strip);
      } catch (e) {
        if (e.name !== "AbortError") this.end();
      }
      this.asking.delete(key);
      this.ask();
    }

    // turn waits for a frame in which no other piece is placed, so that none is long.
    turn(signal) {
      return new Promise((go) => {
        this.waiting.push({ signal, go });
        this.look();
      }).then(() => signal.throwIfAborted());
    }

    // end gives up: the plan has changed and the page is about to be another one, or there is
    // no connection.
    end() {
      if (this.ended) return;
      this.ended = true;
      const told = this.box.nextElementSibling;
      if (told && document.contains(this.box)) told.textContent = "The rest of the picture cannot be brought. Open the page anew.";
    }

    place(piece, column, strip) {
      const came = piece.firstElementChild;
      if (!came || this.ended) return;
      if (strip === undefined) {
        this.lay(came, column);
        this.staffs.set(column, this.head.appendChild(document.adoptNode(came)));
        return;
      }
      for (const svg of came.querySelectorAll(".cols > svg")) this.lay(svg, column);
      const there = this.strips.get(strip);
      if (!there) {
        this.stand(came, strip);
        this.strips.set(strip, { el: this.body.appendChild(document.adoptNode(came)), columns: new Set([column]) });
        return;
      }
      const into = there.el.querySelectorAll(".cols");
      came.querySelectorAll(".cols").forEach((cols, k) => into[k].append(...cols.children));
      there.columns.add(column);
    }

    // tellWhere has the links to other lengths of time and other pictures, and the page's own
    // address, lead to the day that is looked at.
    tellWhere(x) {
      const c = Through.span(this.lefts, x, x + 1)[0];
      const part = Math.max(0, Math.min(1, (x - this.lefts[c]) / (this.lefts[c + 1] - this.lefts[c])));
      const number = dayNumber(this.days[c]) + Math.floor(part * (dayNumber(this.days[c + 1]) - dayNumber(this.days[c])));
      const from = new Date(number * 864e5).toISOString().slice(0, 10), first = this.from === undefined;
      if (from === this.from) return;
      this.from = from;
      if (first) return;
      document.querySelector("h1 .span")?.remove(); // it names the days that came with the page
      const here = new URL(location.href);
      here.searchParams.set("from", from);
      history.replaceState(history.state, "", here);
      for (const a of document.querySelectorAll(".turn a")) {
        const to = new URL(a.href);
        if (!to.searchParams.has("from") || a.rel) continue;
        to.searchParams.set("from", from);
        a.href = to;
      }
    }

    // cords draws the waits of a step over the picture.
    cords(svg) {
      this.body.querySelector(".cords")?.remove();
      if (!svg) return;
      const at = svg.viewBox.baseVal;
      Object.assign(svg.style, { left: px(at.x), top: px(at.y) });
      this.body.append(document.adoptNode(svg));
    }
  }

  const pictures = new WeakMap(); // by box
  const boxes = () => [...document.querySelectorAll(".field[data-pieces]")];
  // hideRows hides what leads to rows that can be scrolled to.
  const hideRows = (hidden) => document.querySelectorAll(".more-rows").forEach((rows) => { rows.hidden = hidden; });
  const begin = () => {
    for (const box of boxes()) if (!pictures.has(box)) pictures.set(box, new Through(box));
    if (boxes().length) hideRows(true);
  };

  let timer, pointed, asked;

  // tell says at once what a block says, and a moment later all that holds it.
  const tell = (e) => {
    const link = e.target.closest?.(".field a");
    if (!link || link === pointed) return;
    pointed = link;
    const box = link.closest(".field"), told = box.nextElementSibling, words = link.querySelector("title")?.textContent;
    if (words && told?.classList.contains("told")) told.textContent = words;
    clearTimeout(timer);
    asked?.abort();
    const step = link.getAttribute("href").match(/(?:^|\/)steps\/([^?#/]+)/)?.[1], picture = pictures.get(box);
    picture?.cords();
    if (picture && step) timer = setTimeout(explain, pause, picture, told, step);
  };

  const explain = async (picture, told, step) => {
    asked = new AbortController();
    try {
      const answer = await fetch(picture.address + "&step=" + step, { signal: asked.signal });
      if (!answer.ok) return;
      const came = parse(await answer.text());
      picture.cords(came.querySelector("svg"));
      const words = came.querySelector("div");
      if (words) told.replaceChildren(...words.childNodes);
    } catch { /* another one is pointed at, or there is no connection: the short words stand */ }
  };

  // Printed are the days and rows that came with the page.
  addEventListener("beforeprint", () => { boxes().forEach((box) => pictures.get(box)?.leave()); hideRows(false); });
  addEventListener("afterprint", () => { for (const box of boxes()) pictures.delete(box); begin(); });

  document.addEventListener("pointerover", tell);
  document.addEventListener("focusin", tell);
  document.addEventListener("renewed", begin);
  begin();
})();

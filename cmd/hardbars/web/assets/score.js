// The whole score: its lines are fetched as they come into sight; a tap plays
// from a bar, a drag chooses bars, arrow keys go from bar to bar; what sounds is
// followed. The map above it is one stop of the Tab key.

const main = document.querySelector("main");
const AHEAD = "800px"; // how far below what is seen lines are fetched
const STAND = 0.22; // millimetres of music to a pixel: a staff that is read at arm's length

class Score {
  #chosen = null; // {from, to}, bars counted from 1
  #here = 1; // where the arrow keys are
  #drag = null;

  constructor(player) {
    this.player = player;
    this.figure = player.querySelector("figure.music");
    this.tools = player.querySelector(".bar-tools");
    this.map = document.querySelector(".strip svg");
    this.bars = Number(player.dataset.bars);
    this.figure.addEventListener("pointerdown", this.#down);
    this.figure.addEventListener("pointermove", this.#move);
    this.figure.addEventListener("pointerup", this.#up);
    this.figure.addEventListener("pointercancel", () => { this.#drag = null; });
    this.figure.addEventListener("keydown", this.#key);
    player.addEventListener("bar", (e) => this.#follow(e.detail));
    this.tools.addEventListener("click", this.#tool);
    this.map?.addEventListener("click", (e) => this.#goTo(e.target.closest("[data-index]"))?.scrollIntoView({block: "center"}));
    this.map?.addEventListener("keydown", this.#mapKey);
    for (const button of document.querySelectorAll("[data-play]:not(button)")) {
      button.addEventListener("click", (e) => this.#card(e, button.dataset.play));
    }
    this.lay();
    new ResizeObserver(() => this.#resized()).observe(player);
  }

  // width is in tens of millimetres, so that what was set once is found again.
  get width() { return 10 * Math.round(Math.min(400, Math.max(60, this.figure.clientWidth * STAND)) / 10); }

  // lay asks for the lines of the score at this width.
  async lay() {
    const width = this.laid = this.width;
    const answer = await fetch(`/pieces/${this.player.dataset.piece}/score?width=${width}`);
    if (!answer.ok || width !== this.laid) return;
    this.figure.innerHTML = await answer.text();
    const seen = new IntersectionObserver((entries) => {
      for (const entry of entries) if (entry.isIntersecting) {
        seen.unobserve(entry.target);
        this.#fill(entry.target);
      }
    }, {rootMargin: AHEAD});
    for (const line of this.figure.children) seen.observe(line);
  }

  async #fill(line) {
    const answer = await fetch(line.dataset.source);
    if (!answer.ok) return;
    line.innerHTML = await answer.text();
    this.#mark();
  }

  #resized() {
    if (Math.abs(this.width - this.laid) < 8) return;
    clearTimeout(this.waits);
    this.waits = setTimeout(() => this.lay(), 250);
  }

  #bar(index) { return this.figure.querySelector(`.bar[data-index="${index}"]`); }
  #line(index) { return [...this.figure.children].find((l) => l.dataset.first <= index && index <= Number(l.dataset.last)); }

  // mark shows what is chosen and where the keys are.
  #mark() {
    const {from, to} = this.#chosen ?? {from: 0, to: -1};
    for (const bar of this.figure.querySelectorAll(".bar")) {
      const index = Number(bar.dataset.index);
      bar.classList.toggle("chosen", from <= index && index <= to);
      bar.classList.toggle("here", index === this.#here && this.figure === document.activeElement);
    }
    this.tools.hidden = !this.#chosen;
    if (this.#chosen) {
      const name = (index) => this.#bar(index)?.dataset.bar ?? index;
      const first = name(Math.min(from, to)), last = name(Math.max(from, to));
      this.tools.querySelector(".chosen").textContent = first === last ? `Bar ${first}` : `Bars ${first}–${last}`;
      this.tools.querySelector("[data-do=place]").href = `/pieces/${this.player.dataset.piece}/places/${this.#place()}`;
    }
  }

  #place() { return `${this.#chosen.from}-${this.#chosen.to}-both-bars`; }

  choose(a, b) {
    this.#chosen = {from: Math.min(a, b), to: Math.max(a, b)};
    this.#mark();
  }

  #at(e) { return Number(document.elementFromPoint(e.clientX, e.clientY)?.closest(".bar")?.dataset.index); }

  #down = (e) => {
    const index = this.#at(e);
    if (index && e.isPrimary && e.button === 0) this.#drag = {from: index, to: index, x: e.clientX};
  };

  #move = (e) => {
    if (!this.#drag) this.#name(e);
    const index = this.#drag && this.#at(e);
    if (!index || index === this.#drag.to) return;
    this.#drag.to = index;
    this.choose(this.#drag.from, index);
  };

  // name tells the note under the pointer.
  #name(e) {
    const head = document.elementsFromPoint(e.clientX, e.clientY).find((el) => el.dataset?.name);
    this.player.querySelector(".listen-note").textContent = head?.dataset.name ?? "";
  }

  #up = (e) => {
    const drag = this.#drag;
    this.#drag = null;
    if (!drag) return;
    this.#here = drag.to;
    if (drag.from === drag.to && Math.abs(e.clientX - drag.x) < 10) this.#playFrom(drag.from);
    else if (this.player.playing) this.#loop();
  };

  #playFrom(index) {
    this.#here = index;
    this.#chosen = null;
    this.#mark();
    this.player.play(`${index}-${this.bars}-both-bars`, {loop: false});
  }

  #loop() { this.player.play(this.#place(), {loop: true}); }

  #tool = (e) => {
    const what = e.target.closest("[data-do]")?.dataset.do;
    if (what === "loop") this.#loop();
    if (what === "clear") {
      this.#chosen = null;
      this.#mark();
      this.figure.focus({preventScroll: true});
    }
  };

  #key = (e) => {
    const step = {ArrowRight: 1, ArrowLeft: -1, PageDown: 8, PageUp: -8, Home: -this.bars, End: this.bars}[e.key];
    if (e.key === " ") {
      e.preventDefault();
      e.stopPropagation();
      if (this.player.playing) this.player.stop();
      else if (this.#chosen) this.#loop();
      else this.#playFrom(this.#here);
    } else if (e.key === "Enter" && this.#chosen) location.assign(this.tools.querySelector("[data-do=place]").href);
    else if (e.key === "Escape") this.#tool({target: this.tools.querySelector("[data-do=clear]")});
    else if (step) {
      e.preventDefault();
      const start = this.#here;
      this.#here = Math.min(this.bars, Math.max(1, this.#here + step));
      if (e.shiftKey) {
        const {from, to} = this.#chosen ?? {from: start, to: start};
        this.choose(start === from ? to : from, this.#here);
      } else this.#mark();
      this.#line(this.#here)?.scrollIntoView({block: "nearest"});
      this.#tell(this.#here);
    }
  };

  // tell says a bar in words, for those who hear the page.
  async #tell(index) {
    const answer = await fetch(`/pieces/${this.player.dataset.piece}/words.json?place=${index}-${index}-both-bars`);
    if (answer.ok && index === this.#here) this.player.querySelector(".told").textContent = (await answer.json()).bars[0];
  }

  // follow marks the bar that is heard and turns to its line.
  #follow(bar) {
    this.figure.querySelector(".bar.now")?.classList.remove("now");
    if (!bar) return;
    this.#bar(bar.index)?.classList.add("now");
    const line = this.#line(bar.index);
    if (line && line !== this.heard) {
      this.heard = line;
      const {top, bottom} = line.getBoundingClientRect();
      const covered = this.player.querySelector(".listen").getBoundingClientRect().bottom;
      if (top < Math.max(0, covered) || bottom > innerHeight) {
        const calm = matchMedia("(prefers-reduced-motion: reduce)").matches;
        scrollBy({top: top - Math.max(0, covered) - 20, behavior: calm ? "instant" : "smooth"});
      }
    }
  }

  #goTo(bar) {
    if (!bar) return;
    this.#here = Number(bar.dataset.index);
    this.map.setAttribute("aria-valuenow", this.#here);
    this.map.setAttribute("aria-valuetext", bar.dataset.words);
    this.map.querySelector(".here")?.classList.remove("here");
    bar.classList.add("here");
    this.#mark();
    return this.#line(this.#here);
  }

  #mapKey = (e) => {
    const step = {ArrowRight: 1, ArrowUp: 1, ArrowLeft: -1, ArrowDown: -1, PageDown: 8, PageUp: -8, Home: -this.bars, End: this.bars}[e.key];
    if (e.key === "Enter" || e.key === " ") {
      e.preventDefault();
      this.#line(this.#here)?.scrollIntoView({block: "center"});
      this.figure.focus({preventScroll: true});
      this.#mark();
    } else if (step) {
      e.preventDefault();
      const to = Math.min(this.bars, Math.max(1, this.#here + step));
      this.#goTo(this.map.querySelector(`[data-index="${to}"]`));
    }
  };

  // card plays a passage of the shortlist in the score.
  #card(e, place) {
    e.preventDefault();
    const [from, to] = place.split("-").map(Number);
    this.choose(from, to);
    this.#here = from;
    this.#line(from)?.scrollIntoView({block: "center"});
    this.figure.focus({preventScroll: true});
    this.#loop();
  }
}

function begin() {
  const player = main.querySelector("listen-player.whole");
  if (player) customElements.whenDefined("listen-player").then(() => new Score(player));
}
main.addEventListener("content", begin);
begin();

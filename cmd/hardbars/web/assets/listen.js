// Listen: plays what a figure shows, and lights up its notes as they sound.
//
// <listen-player data-piece="ID"> holds a <figure class="music"
// data-notes="URL"> and the controls of the template "listen". It may come and
// go with the content of the page. Sounds are given to the audio clock ahead of
// their time; a timer only refills what is ahead. window.hardbarsListen tells
// what was scheduled.

import {events, Timeline} from "./listen-score.js";
import {Piano} from "./listen-sound.js";

const REFILL = 50; // milliseconds
const AHEAD = 0.3; // seconds scheduled ahead
const AHEAD_HIDDEN = 2.5; // the same in a tab that is not seen, where timers are slow
const START = 0.12; // seconds from the tap to the first sound
const LATE = 0.02; // what comes later than this is left out, not played in a heap
const NO_SOUND = 3000; // milliseconds in which a sound device wakes
const REMEMBERED = 4096; // events that hardbarsListen tells
const FIRST = 1800, BEAT = 1200; // the metronome, in hertz
const CLICKS = {right: {frequency: 2300, pan: 0.35}, left: {frequency: 620, pan: -0.35}};

// One clock and one piano for the page: a browser gives few of them.
let context, piano, playing = null;
const scheduled = [];
let late = 0;

window.hardbarsListen = Object.freeze({
  get playing() { return playing !== null; },
  get clock() { return context?.currentTime ?? 0; }, // of the audio, in seconds
  get heard() { return heard(); }, // the time of what comes out of the speaker now
  get pass() { return playing?.timeline.pass ?? 0; }, // how often the loop has begun again
  get share() { return playing?.timeline.share ?? 0; },
  get scheduled() { return scheduled.map((e) => ({...e})); }, // {kind, time, pass, midi, hand, heads, end} since the last start, at most 4096
  get late() { return late; }, // events left out because a timer came too late
  get lit() { return playing ? [...playing.lit.keys()] : []; }, // data-note of the notes lit now
});

function heard() {
  return context ? context.currentTime - (context.outputLatency || context.baseLatency || 0) : 0;
}

// wake must be called in the tap itself: only then may a page make a sound.
function wake() {
  context ??= new AudioContext({latencyHint: "interactive"});
  piano ??= new Piano(context);
  return Promise.race([context.resume(), new Promise((done, fail) => setTimeout(() => {
    if (context.state === "running") done();
    else fail(new Error("This device gives no sound: see whether a loudspeaker is connected and chosen, then play again."));
  }, NO_SOUND))]);
}

// Performance is one playing, from start to stop.
class Performance {
  lit = new Map(); // data-note to the elements that are lit
  #lights = []; // {from, to, heads}
  #bars = []; // {from, bar}
  #timer; #frame; #stopped = false;

  constructor(player, music, choice) {
    this.player = player;
    this.music = music;
    scheduled.length = late = 0;
    const plan = events(music, choice);
    piano.prepare(new Set(music.notes.map((n) => n.midi)));
    piano.open();
    this.timeline = new Timeline(plan, {share: choice.share, loop: choice.loop, time: context.currentTime + START});
    this.horizon = context.currentTime;
    this.#refill();
    this.#timer = setInterval(() => this.#refill(), REFILL);
    document.addEventListener("visibilitychange", this.#refill);
    this.#show();
  }

  // change follows the controls, from where nothing is scheduled yet.
  change(choice) {
    const {timeline} = this;
    const from = this.horizon;
    timeline.loop = choice.loop;
    if (choice.share !== timeline.share) {
      const before = timeline.share;
      timeline.setShare(choice.share, from);
      const moved = (time) => from + (time - from) * before / choice.share;
      piano.move(from, moved);
      for (const light of this.#lights) if (light.to > from) light.to = moved(light.to);
    }
    timeline.setPlan(events(this.music, choice), from);
  }

  stop() {
    if (this.#stopped) return;
    this.#stopped = true;
    clearInterval(this.#timer);
    cancelAnimationFrame(this.#frame);
    document.removeEventListener("visibilitychange", this.#refill);
    piano.close();
    this.#light([]);
    this.player.bar("");
    playing = null;
    this.player.stopped();
  }

  #refill = () => {
    const now = context.currentTime;
    if (now > this.timeline.end + 0.3) return this.stop();
    this.horizon = Math.max(this.horizon, now + (document.hidden ? AHEAD_HIDDEN : AHEAD));
    for (const e of this.timeline.due(this.horizon)) {
      if (e.time < now - LATE) late++;
      else this.#schedule(e);
    }
  };

  #schedule(e) {
    const {share} = this.timeline;
    const told = {kind: e.kind, time: e.time, pass: e.pass};
    switch (e.kind) {
      case "note":
        Object.assign(told, {midi: e.midi, hand: e.hand, heads: e.heads, end: e.time + e.seconds / share, silent: e.silent});
        if (!e.silent) piano.note(e.midi, e.time, e.time + e.rings / share, e.loud);
        this.#lights.push({from: e.time, to: told.end, heads: e.heads});
        break;
      case "strike":
        told.right = e.right;
        told.left = e.left;
        for (const hand of ["right", "left"]) if (e[hand]) piano.click(CLICKS[hand].frequency, e.time, 0.9, CLICKS[hand].pan);
        break;
      default:
        told.first = e.first;
        piano.click(e.first ? FIRST : BEAT, e.time, e.first ? 0.8 : 0.5);
    }
    scheduled.push(told);
    if (scheduled.length > REMEMBERED) scheduled.splice(0, scheduled.length - REMEMBERED);
  }

  // show lights up what is heard now.
  #show = () => {
    const now = heard();
    this.#lights = this.#lights.filter((l) => l.to > now);
    this.#light(this.#lights.filter((l) => l.from <= now).flatMap((l) => l.heads));
    const position = this.timeline.positionAt(now);
    const {seconds} = this.music;
    if (position < 0) this.player.bar("counting in");
    else {
      const within = position % this.timeline.plan.seconds;
      const bar = within < seconds ? this.music.bars.findLast((b) => b.at <= within + 1e-6) : null;
      this.player.bar(bar ? `bar ${bar.bar}` : "a bar's rest", bar);
    }
    this.#frame = requestAnimationFrame(this.#show);
  };

  #light(heads) {
    const now = new Set(heads);
    for (const [id, elements] of this.lit) {
      if (now.has(id) && elements.every((e) => e.isConnected)) continue;
      for (const e of elements) e.classList.remove("lit");
      this.lit.delete(id);
    }
    for (const id of now) {
      if (this.lit.has(id)) continue;
      const elements = [...this.player.querySelectorAll(`figure.music [data-note="${id}"]`)];
      for (const e of elements) e.classList.add("lit");
      this.lit.set(id, elements);
    }
  }
}

class ListenPlayer extends HTMLElement {
  #music = {url: "", notes: null}; // what was fetched last

  connectedCallback() {
    const controls = this.querySelector(".listen");
    if (!controls) return;
    controls.hidden = false;
    controls.addEventListener("submit", (e) => e.preventDefault());
    controls.addEventListener("input", (e) => {
      if (e.target.name === "per-minute") this.#atTempo(e.target.valueAsNumber);
      else this.#changed(e.target.name === "share");
    });
    this.#button.addEventListener("click", () => this.#toggle());
    this.addEventListener("keydown", this.#key);
    // A whole piece is some hundred kilobytes: it lets the page come first.
    setTimeout(() => this.#fetch().then(() => this.#changed(), () => {}), this.matches(".whole") ? 1000 : 0);
  }

  disconnectedCallback() {
    if (playing?.player === this) playing.stop();
  }

  // bar tells which bar is heard, and marks it in the score.
  bar(text, bar) {
    const shown = this.querySelector(".listen-bar");
    if (!shown || shown.textContent === text) return;
    shown.textContent = text;
    this.dispatchEvent(new CustomEvent("bar", {detail: bar ?? null}));
  }

  // play plays what a place is, from its first bar, as the controls say; again
  // and again where that is asked for.
  play(place, {loop = null} = {}) {
    if (playing?.player === this) playing.stop();
    this.#figure.dataset.notes = `/pieces/${this.dataset.piece}/notes.json?place=${place}`;
    if (loop !== null) this.#control("loop").checked = loop;
    return this.#toggle();
  }

  // at plays from the beginning at a tempo in a beat, that of the place.
  async at(beat, perMinute) {
    if (this.playing) playing.stop();
    const awake = wake(); // in the tap itself
    const notes = await this.#fetch();
    await awake.catch(() => {});
    if (notes.pace.beat === beat) this.#atTempo(perMinute);
    this.#changed();
    return this.#toggle();
  }

  get playing() { return playing?.player === this; }
  stop() { if (this.playing) playing.stop(); }

  stopped() {
    this.#button.setAttribute("aria-pressed", "false");
    this.#button.textContent = "Play";
  }

  get #figure() { return this.querySelector("figure.music"); }
  get #button() { return this.querySelector("[data-play]"); }
  #control(name) { return this.querySelector(`.listen [name="${name}"]`); }

  get #choice() {
    return {
      part: this.querySelector('.listen [name="part"]:checked')?.value ?? "both",
      share: this.#control("share").valueAsNumber / 100,
      right: Number(this.#control("right").value),
      left: Number(this.#control("left").value),
      rest: this.#control("rest").checked,
      loop: this.#control("loop").checked,
      countIn: this.#control("count-in").checked,
      metronome: this.#control("metronome").checked,
    };
  }

  // key plays and stops with the space bar, but where it has a use of its own.
  #key = (e) => {
    const own = e.target.closest('button, a, select, textarea, input:not(:checked[type="radio"], [type="range"])');
    if (e.key !== " " || e.repeat || own) return;
    e.preventDefault();
    this.#toggle();
  };

  async #toggle() {
    if (playing?.player === this) return playing.stop();
    playing?.stop();
    const awake = wake();
    this.#say("");
    try {
      const [music] = await Promise.all([this.#fetch(), awake]);
      playing?.stop();
      if (!this.isConnected) return;
      playing = new Performance(this, music, this.#choice);
      this.#button.setAttribute("aria-pressed", "true");
      this.#button.textContent = "Stop";
    } catch (err) {
      this.#say(err.message);
    }
  }

  // atTempo takes a metronome mark in the beat of the place.
  #atTempo(perMinute) {
    const {notes} = this.#music;
    if (!notes || !(perMinute > 0)) return;
    this.#control("share").value = Math.round(100 * perMinute / notes.pace.per_minute);
    this.#changed(false);
  }

  #changed(beats = true) {
    const {notes} = this.#music;
    const {share} = this.#choice;
    const tempo = notes ? `, ${notes.pace.beat} = ${Math.round(notes.pace.per_minute * share)}` : "";
    const words = `${Math.round(share * 100)} %${tempo}`;
    this.querySelector(".listen-tempo").textContent = words;
    this.#control("share").setAttribute("aria-valuetext", words);
    if (notes) {
      this.querySelector(".listen-beat").textContent = `${notes.pace.beat}s`;
      if (beats) this.#control("per-minute").value = Math.round(notes.pace.per_minute * share);
      const composite = this.querySelector('.listen [value="composite"]');
      composite.disabled = notes.strikes.length === 0;
      if (composite.disabled && composite.checked) this.querySelector('.listen [value="both"]').checked = true;
    }
    if (playing?.player === this) playing.change(this.#choice);
  }

  // fetch gets what the figure shows as notes, once.
  async #fetch() {
    const url = this.#figure?.dataset.notes;
    if (!url) throw new Error("Say which bars to play, and show them.");
    if (this.#music.url !== url) {
      const answer = await fetch(url, {headers: {Accept: "application/json"}});
      const notes = await answer.json();
      if (!answer.ok) throw new Error(notes.error);
      this.#music = {url, notes};
      this.#changed();
    }
    return this.#music.notes;
  }

  #say(text) { this.querySelector(".listen-said").textContent = text; }
}

customElements.define("listen-player", ListenPlayer);

// The tempos of a place, each to be heard.
function rungs() {
  for (const row of document.querySelectorAll(".hear[hidden]")) {
    row.hidden = false;
    row.addEventListener("click", (e) => {
      const [beat, perMinute] = e.target.closest("[data-rung]")?.dataset.rung.split(" = ") ?? [];
      if (perMinute) document.querySelector("listen-player").at(beat, Number(perMinute));
    });
  }
}
document.querySelector("main").addEventListener("content", rungs);
rungs();

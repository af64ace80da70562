// What is to sound, and when: no audio and no page in here.

// events lays out one time through a stretch for the part that is chosen:
// "both", "melody" or "composite". right and left are how loud each hand is, 0
// for silent; rest puts a bar without a sound at the end of each time. Positions
// are seconds at full tempo. opening comes once, before the first time; cycle comes each
// time. Grace notes before the first beat stand in both: in the cycle at its
// end, as a lead into the next.
export function events(music, {part, right = 1, left = 1, rest, metronome, countIn}) {
  const seconds = music.seconds + (rest ? music.bars.at(-1)?.seconds ?? 0 : 0);
  const notes = music.notes.filter(chosen(music, part)).map((n) => ({
    kind: "note", at: n.at, seconds: n.seconds, rings: n.rings, midi: n.midi, hand: n.hand, heads: n.heads,
    loud: {right, left}[n.hand], silent: part === "composite" || {right, left}[n.hand] === 0,
  }));
  damp(notes);
  const own = [
    ...notes,
    ...(part === "composite" ? music.strikes.map((s) => ({kind: "strike", at: s.at, right: s.right, left: s.left})) : []),
    ...(metronome ? music.beats.map((b) => ({kind: "beat", at: b.at, first: b.first})) : []),
  ];
  const early = own.filter((e) => e.at < 0);
  const counted = countIn ? music.count_in.map((b) => ({kind: "count", at: b.at, first: b.first})) : [];
  return {
    opening: [...counted, ...early].sort(byTime),
    cycle: [...own.filter((e) => e.at >= 0), ...early.map((e) => ({...e, at: e.at + seconds, lead: true}))].sort(byTime),
    seconds,
  };
}

function chosen(music, part) {
  if (part === "melody") return (n) => n.melody;
  if (part !== "composite") return () => true;
  const struck = new Map(music.strikes.map((s) => [s.at, s]));
  return (n) => !n.grace && struck.get(n.at)?.[n.hand];
}

const byTime = (a, b) => a.at - b.at;

// damp lets a key that is struck again end what still rings of it.
function damp(notes) {
  const next = new Map();
  for (const n of [...notes].sort(byTime).reverse()) {
    const again = next.get(n.midi);
    if (again > n.at) n.rings = Math.min(n.rings, again - n.at);
    next.set(n.midi, n.at);
  }
}

// Timeline gives events their times on the audio clock. A position counts on
// through the loops, and its time is one multiplication away from the place
// where the tempo was last set: nothing adds up, and nothing drifts.
export class Timeline {
  #anchor; // {time, position}
  #next = 0; // of the opening and then of the cycle
  #pass = -1; // −1 in the opening

  constructor(plan, {share, loop, time}) {
    this.plan = plan;
    this.share = share;
    this.loop = loop;
    this.#anchor = {time, position: Math.min(0, plan.opening[0]?.at ?? 0)};
    this.#skipEmpty();
  }

  timeOf(position) { return this.#anchor.time + (position - this.#anchor.position) / this.share; }

  positionAt(time) { return this.#anchor.position + (time - this.#anchor.time) * this.share; }

  get pass() { return Math.max(0, this.#pass); }

  // end is when the last time through is over; Infinity in a loop.
  get end() { return this.loop ? Infinity : this.timeOf((this.pass + 1) * this.plan.seconds); }

  // due takes the events before a time, each once and in order.
  due(until) {
    const taken = [];
    for (;;) {
      const list = this.#list();
      if (this.#next >= list.length) {
        if (this.#pass >= 0 && !this.loop) return taken;
        const turn = this.#pass < 0 ? -Infinity : this.timeOf((this.#pass + 1) * this.plan.seconds);
        if (turn >= until) return taken;
        this.#pass++;
        this.#next = 0;
        if (this.plan.cycle.length === 0) return taken;
        continue;
      }
      const event = list[this.#next];
      const time = this.timeOf(this.#offset() + event.at);
      if (time >= until) return taken;
      this.#next++;
      if (event.lead && !this.loop) continue;
      taken.push({...event, time, pass: this.pass});
    }
  }

  // setShare changes the tempo from a time on.
  setShare(share, time) {
    this.#anchor = {time, position: this.positionAt(time)};
    this.share = share;
  }

  // setPlan changes what sounds from a time on; the length stays.
  setPlan(plan, time) {
    const position = this.positionAt(time);
    this.plan = plan;
    this.#pass = position < 0 ? -1 : Math.floor(position / plan.seconds);
    const within = position - this.#offset();
    const next = this.#list().findIndex((e) => e.at >= within - 1e-9);
    this.#next = next < 0 ? this.#list().length : next;
    this.#skipEmpty();
  }

  #list() { return this.#pass < 0 ? this.plan.opening : this.plan.cycle; }
  #offset() { return this.pass * this.plan.seconds; }
  #skipEmpty() {
    if (this.#pass < 0 && this.#next >= this.plan.opening.length) {
      this.#pass = 0;
      this.#next = 0;
    }
  }
}

// The sounds: a plain struck string, and clicks of wood. Each is reckoned once
// for its key and kept.

const ATTACK = 0.002; // seconds
const DAMPER = 0.05; // time constant with which a damper takes the sound away
const FADE = 0.004; // the same when all is stopped

// string is a struck string. Partials are a little sharp, as a stiff string's
// are; high ones die away first, and a hammer at an eighth of the length leaves
// out every eighth. Common practice for plucked and struck strings.
function string(rate, midi) {
  const pitch = 440 * 2 ** ((midi - 69) / 12);
  const stiff = 0.0002 * 2 ** ((midi - 48) / 12);
  const lasts = Math.min(7, Math.max(0.7, 4.5 * 2 ** ((60 - midi) / 18))); // seconds to a thousandth
  const partials = [];
  for (let n = 1; n <= 10; n++) {
    const frequency = n * pitch * Math.sqrt(1 + stiff * n * n);
    if (frequency > rate * 0.45) break;
    const level = Math.abs(Math.sin(Math.PI * n / 8)) / n ** 1.3;
    partials.push({frequency, level, lasts: lasts / (1 + 0.35 * (n - 1))});
  }
  return rendered(rate, partials, lasts, 0.06);
}

// wood is a click.
function wood(rate, frequency) {
  return rendered(rate, [{frequency, level: 1, lasts: 0.06}, {frequency: 2.7 * frequency, level: 0.4, lasts: 0.03}], 0.08, 0.1);
}

// rendered adds up partials that die away, with a burst of noise at the start.
function rendered(rate, partials, seconds, noise) {
  const out = new Float32Array(Math.ceil(seconds * rate));
  let sum = 0;
  for (const p of partials) sum += p.level;
  for (const p of partials) {
    const decay = 0.001 ** (1 / (p.lasts * rate));
    const turn = 2 * Math.PI * p.frequency / rate;
    const twice = 2 * Math.cos(turn) * decay, square = decay * decay;
    let before = 0, now = p.level / sum * Math.sin(turn) * decay; // a sine that dies away, by its recurrence
    for (let i = 1; i < out.length; i++) {
      out[i] += now;
      const next = twice * now - square * before;
      before = now;
      now = next;
    }
  }
  let dice = 12345; // the same noise every time
  let dull = 0;
  for (let i = 0; i < Math.min(out.length, 0.02 * rate); i++) {
    dice = (Math.imul(dice, 1103515245) + 12345) >>> 0;
    dull += 0.3 * (dice / 2 ** 31 - 1 - dull);
    out[i] += noise * dull * 0.001 ** (i / (0.02 * rate));
  }
  for (let i = 0; i < ATTACK * rate; i++) out[i] *= i / (ATTACK * rate);
  return out;
}

// Piano plays on an audio clock.
export class Piano {
  #context;
  #out;
  #kept = new Map();
  #ringing = new Set(); // {source, damper, time, end}

  constructor(context) {
    this.#context = context;
  }

  // open begins to play; close silences all that was scheduled.
  open() {
    // Ten keys at once, as loud as they come, just fit.
    this.#out = new GainNode(this.#context, {gain: 0.18});
    this.#out.connect(this.#context.destination);
  }

  close() {
    const out = this.#out;
    out.gain.setTargetAtTime(0, this.#context.currentTime, FADE);
    setTimeout(() => out.disconnect(), 60);
    for (const r of this.#ringing) r.source.stop(this.#context.currentTime + 0.05);
    this.#ringing.clear();
  }

  // prepare reckons keys beforehand, so that nothing waits for them.
  prepare(keys) {
    for (const midi of keys) this.#buffer(midi, () => string(this.#context.sampleRate, midi));
  }

  note(midi, time, end, loud = 1) {
    const buffer = this.#buffer(midi, () => string(this.#context.sampleRate, midi));
    const source = new AudioBufferSourceNode(this.#context, {buffer});
    const damper = new GainNode(this.#context, {gain: loud});
    source.connect(damper).connect(this.#out);
    const ringing = {source, damper, time, end};
    source.onended = () => { damper.disconnect(); this.#ringing.delete(ringing); };
    source.start(time);
    this.#ringing.add(ringing);
    this.#damp(ringing);
  }

  click(frequency, time, level = 1, pan = 0) {
    const buffer = this.#buffer(`wood ${frequency}`, () => wood(this.#context.sampleRate, frequency));
    const source = new AudioBufferSourceNode(this.#context, {buffer});
    const loud = new GainNode(this.#context, {gain: level});
    const side = new StereoPannerNode(this.#context, {pan});
    source.connect(loud).connect(side).connect(this.#out);
    source.onended = () => side.disconnect();
    source.start(time);
  }

  // move shifts the ends of what rings, as the tempo changes at a time.
  move(time, by) {
    for (const r of this.#ringing) {
      if (r.end <= time) continue;
      r.damper.gain.cancelScheduledValues(r.end);
      r.end = by(r.end);
      this.#damp(r);
    }
  }

  #damp(r) {
    r.damper.gain.setTargetAtTime(0, r.end, DAMPER);
    r.source.stop(r.end + 8 * DAMPER);
  }

  #buffer(name, render) {
    if (!this.#kept.has(name)) {
      const samples = render();
      const buffer = new AudioBuffer({length: samples.length, sampleRate: this.#context.sampleRate});
      buffer.copyToChannel(samples, 0);
      this.#kept.set(name, buffer);
    }
    return this.#kept.get(name);
  }
}

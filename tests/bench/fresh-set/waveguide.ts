// Plucked strings by digital waveguides: another kind of model than the sums of partials in training and validation.
//
// Karplus & Strong (1983) as extended by Jaffe & Smith (Computer Music Journal 7.2, 1983): a delay line in a loop with a
// loss filter, all-passes for the pitch and for stiffness, a comb for where the string is plucked; two polarisations, a
// body of resonances or a pickup. Parameters come from a seed within ranges of our own.
import type { Hertz, Midi, Samples, SampleRate, Seconds } from '../../../app/core/base/units.ts';
import { frequencyOf } from '../../../app/core/sound/pluck.ts';
import type { StringModel } from '../ear-set/bank.ts';
import { dice, type Dice } from '../ear-set/random.ts';

/** What the strings are made of, and what they are stretched over. */
export type Making = 'nylon' | 'steel' | 'electric' | Rarer;
/** Old strings under a pick; nylon under fingertips; pairs that are thin and stiff. */
type Rarer = 'worn' | 'fingertips' | 'courses';

interface Build {
  /** Where along the string it is plucked. */
  readonly pick: number;
  /** Where a pickup stands; null is a body. */
  readonly pickup: number | null;
  /** Seconds in which E3 falls by 60 dB; higher strings fall faster. */
  readonly rings: Seconds;
  /** Pole of the loss filter, 0–1: nearer to 1 the high partials die sooner. */
  readonly dull: number;
  /** Stages of the all-pass for stiffness, and its coefficient. */
  readonly stages: number;
  readonly stiff: number;
  /** Above it the pluck has less; a soft one from half of it on. */
  readonly bright: Hertz;
  readonly scratch: number;
  /** Cents between the polarisations, and the share of the second. */
  readonly beat: number;
  readonly second: number;
  readonly modes: readonly Mode[];
}

/** One resonance of a body or a pickup. */
export interface Mode {
  readonly hertz: Hertz;
  readonly q: number;
  readonly gain: number;
}

/** Low and high end of what differs between makings. */
const RANGES = {
  nylon: { rings: [1.6, 3.2], dull: [0.25, 0.5], bright: [500, 1300], stiff: [0.02, 0.06] },
  steel: { rings: [3.5, 7], dull: [0.08, 0.25], bright: [1500, 4000], stiff: [0.05, 0.16] },
  electric: { rings: [5, 10], dull: [0.1, 0.3], bright: [1200, 3000], stiff: [0.04, 0.12] },
  worn: { rings: [2.4, 4.2], dull: [0.3, 0.5], bright: [900, 1800], stiff: [0.1, 0.2] },
  fingertips: { rings: [2, 3.6], dull: [0.3, 0.55], bright: [260, 600], stiff: [0.01, 0.04] },
  courses: { rings: [2.6, 5], dull: [0.06, 0.18], bright: [2500, 5000], stiff: [0.12, 0.24] },
} as const;

export function waveguideGuitar(seed: number, making: Making, rate: SampleRate): StringModel {
  const build = drawBuild(dice(seed), making);
  return (midi, soft, length) => {
    const d = dice(7919 * seed + 2 * midi + (soft ? 1 : 0));
    const string = plucked(build, d, { midi, soft, length, rate });
    const heard = build.pickup === null ? string : overPickup(string, build.pickup, midi, rate);
    const sound = throughModes(heard, build.modes, rate);
    const most = sound.reduce((top, x) => Math.max(top, Math.abs(x)), 1e-9);
    const gain = ((soft ? 0.33 : 1) * 0.25) / most;
    return Float32Array.from(sound, (x) => gain * x);
  };
}

function drawBuild(d: Dice, making: Making): Build {
  const ranges = RANGES[making];
  const from = ([low, high]: readonly [number, number]) => d.between(low, high);
  const electric = making === 'electric';
  const bodies = Array.from({ length: 7 }, () => ({
    hertz: 180 * 12 ** d.between(0, 1),
    q: d.between(12, 40),
    gain: d.between(-0.6, 0.8),
  }));
  const air = { hertz: d.between(88, 125), q: d.between(8, 20), gain: d.between(0.3, 0.9) };
  return {
    pick: d.between(0.1, 0.32),
    pickup: electric ? d.between(0.06, 0.28) : null,
    rings: from(ranges.rings),
    dull: from(ranges.dull),
    stages: Math.floor(d.between(1, 5)),
    stiff: from(ranges.stiff),
    bright: from(ranges.bright),
    scratch: d.between(0.02, 0.3),
    beat: d.between(0.2, 1.6),
    second: d.between(0.1, 0.6),
    modes: electric
      ? [{ hertz: d.between(2400, 4800), q: d.between(0.8, 2.5), gain: 1 }]
      : [air, ...bodies],
  };
}

/** One note that is asked of a string model. */
export interface Played {
  readonly midi: Midi;
  readonly soft: boolean;
  readonly length: Samples;
  readonly rate: SampleRate;
}

/** MIDI of E3, to which `rings` belongs, and semitones over which it halves. */
const RINGS = { at: 52, halves: 30 } as const;

function plucked(build: Build, d: Dice, played: Played): Float64Array {
  const { midi, rate } = played;
  const force = pluckOf(build, d, played);
  const rings =
    build.rings * 2 ** (-(midi - RINGS.at) / RINGS.halves) * Math.exp(d.normal(0, 0.12));
  const first = loop(force, frequencyOf(midi), rings, build, rate);
  const beside = frequencyOf(midi) * 2 ** ((build.beat * d.between(0.5, 1.5)) / 1200);
  const second = loop(force, beside, 0.6 * rings, build, rate);
  return first.map((x, i) => x + build.second * second[i]!);
}

/** The force on the string: a step that the pick rounds off, seen twice because waves leave it to both sides. */
function pluckOf(build: Build, d: Dice, { midi, soft, length, rate }: Played): Float64Array {
  const period = rate / frequencyOf(midi);
  const pole = Math.exp((-2 * Math.PI * build.bright * (soft ? 0.5 : 1)) / rate);
  const back = Math.round(build.pick * d.between(0.9, 1.1) * period);
  const scratches = d.between(0.001, 0.004) * rate;
  const force = new Float64Array(length);
  let [a, b] = [0, 0];
  for (let i = 0; i < Math.min(length, 6 * scratches + 4 * period); i++) {
    const pulse = i === 0 ? 1 : 0;
    const noise = build.scratch * 0.2 * d.between(-1, 1) * Math.exp(-i / scratches);
    a += (1 - pole) * (pulse + noise - a);
    b += (1 - pole) * (a - b);
    force[i]! += b;
    if (i + back < length) force[i + back]! -= b;
  }
  return force;
}

/** The string itself. */
function loop(
  force: Float64Array,
  hertz: Hertz,
  rings: Seconds,
  build: Build,
  rate: SampleRate,
): Float64Array {
  const { dull, stages, stiff } = build;
  const w = (2 * Math.PI * hertz) / rate;
  // The loss filter and the all-passes delay the fundamental, too; what is left is the delay line's.
  const lossDelay = Math.atan2(dull * Math.sin(w), 1 - dull * Math.cos(w)) / w;
  const loss = (1 - dull) / Math.hypot(1 - dull * Math.cos(w), dull * Math.sin(w));
  const total = rate / hertz - lossDelay - stages * allPassDelay(-stiff, w);
  const whole = Math.floor(total - 0.3);
  const tune = fractionFor(total - whole, w);
  const gain = 10 ** (-3 / (rings * hertz)) / loss;
  const line = new Float64Array(whole);
  const out = new Float64Array(force.length);
  const passes = [...Array<number>(stages).fill(-stiff), tune].map((c) => allPass(c));
  let low = 0;
  for (let i = 0; i < out.length; i++) {
    const place = i % whole;
    low += (1 - dull) * (line[place]! - low);
    let x = Math.min(gain, 0.99999) * low;
    for (const pass of passes) x = pass(x);
    x += force[i]!;
    line[place] = x;
    out[i] = x;
  }
  return out;
}

function allPass(c: number): (x: number) => number {
  let [before, out] = [0, 0];
  return (x) => {
    out = c * x + before - c * out;
    before = x;
    return out;
  };
}

/** Samples by which a first-order all-pass delays the angular frequency `w`. */
function allPassDelay(c: number, w: number): number {
  const above = Math.atan2(-Math.sin(w), c + Math.cos(w));
  const below = Math.atan2(-c * Math.sin(w), 1 + c * Math.cos(w));
  return (below - above) / w;
}

/** The coefficient whose delay at `w` is `delay`, 0.3 to 1.3 samples, by halving. */
function fractionFor(delay: number, w: number): number {
  let [low, high] = [-0.5, 0.9];
  for (let k = 0; k < 40; k++) {
    const middle = (low + high) / 2;
    if (allPassDelay(middle, w) > delay) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** A pickup hears a string at one place: waves that come back from the bridge are taken off. */
function overPickup(x: Float64Array, place: number, midi: Midi, rate: SampleRate): Float64Array {
  const back = Math.round((place * rate) / frequencyOf(midi));
  return x.map((y, i) => y - (i < back ? 0 : x[i - back]!));
}

export function throughModes(
  x: Float64Array,
  modes: readonly Mode[],
  rate: SampleRate,
): Float64Array {
  const out = Float64Array.from(x, (y) => 0.4 * y);
  for (const { hertz, q, gain } of modes) {
    const r = Math.exp((-Math.PI * hertz) / (q * rate));
    const turn = 2 * r * Math.cos((2 * Math.PI * hertz) / rate);
    const scale = (gain * (1 - r * r)) / 2;
    let [y1, y2, x2, x1] = [0, 0, 0, 0];
    for (let i = 0; i < x.length; i++) {
      const y = scale * (x[i]! - x2) + turn * y1 - r * r * y2;
      [y2, y1, x2, x1] = [y1, y, x1, x[i]!];
      out[i]! += 2 * y;
    }
  }
  return out;
}

// Guitars that nobody built, for choosing among ways to hear: strings by their partials, with parameters from a seed.
//
// The training's model (tests/bench/ear-training/strings.py) in plain code, with other seeds and other random numbers.
import type { Midi, SampleRate, Samples } from '../../../app/core/base/units.ts';
import { type Dice, dice } from './random.ts';

/** What makes one guitar of this model another than the next. */
interface Build {
  /** Where along the string it is plucked, and where a pickup stands, if there is one. */
  readonly pick: number;
  readonly pickup: number | null;
  readonly stiffness: number;
  /** Seconds in which E3 falls by 60 dB, and semitones over which that halves. */
  readonly rings: number;
  readonly shorter: number;
  readonly damping: number;
  readonly slope: number;
  readonly bright: number;
  /** Seconds until the tone is there. */
  readonly rise: number;
  /** Cents between the two polarisations, and the share of the second. */
  readonly beat: number;
  readonly second: number;
  /** Bumps of the body: hertz, octaves, dB. */
  readonly bumps: readonly (readonly [number, number, number])[];
  readonly thump: number;
  readonly scratch: number;
  /** How hard an amplifier is driven; 0 is none. */
  readonly drive: number;
}

/** The built-in type of that name would be taken for a partial here. */
type Known<T> = { readonly [K in keyof T]?: T[K] };

const PARTIALS = 40;
const HIGHEST = 9_000;

/** `length` samples of one pluck, 0.25 at their loudest. @param soft Plucked softly: darker and weaker. */
export type Pluck = (midi: Midi, soft: boolean, length: Samples) => Float32Array;

/** @param own What is not drawn. */
export function stringGuitar(seed: number, rate: SampleRate, own: Known<Build> = {}): Pluck {
  const d = dice(seed);
  const build = { ...drawBuild(d), ...own };
  return (midi, soft, length) =>
    pluck(build, dice(1000 * seed + 2 * midi + (soft ? 1 : 0)), { midi, soft, length, rate });
}

function drawBuild(d: Dice): Build {
  const log = (low: number, high: number) => low * (high / low) ** d.between(0, 1);
  return {
    pick: d.between(0.07, 0.4),
    pickup: d.chance(0.45) ? d.between(0.05, 0.35) : null,
    stiffness: log(5e-6, 2.5e-4),
    rings: log(1.2, 8),
    shorter: d.between(20, 44),
    damping: log(0.01, 0.35),
    slope: d.between(0.2, 1.5),
    bright: log(900, 8_000),
    rise: log(0.0003, 0.012),
    beat: d.between(0, 1.6),
    second: d.between(0, 0.7),
    bumps: Array.from(
      { length: Math.floor(d.between(0, 8)) },
      () => [log(80, 5_000), d.between(0.05, 0.5), d.normal(0, 5)] as const,
    ),
    thump: d.chance(0.6) ? d.between(0, 0.6) : 0,
    scratch: d.chance(0.8) ? d.between(0, 1.2) : 0,
    drive: d.chance(0.3) ? log(0.5, 20) : 0,
  };
}

interface Played {
  readonly midi: Midi;
  readonly soft: boolean;
  readonly length: Samples;
  readonly rate: SampleRate;
}

function pluck(build: Build, d: Dice, { midi, soft, length, rate }: Played): Float32Array {
  const tone = new Float64Array(length);
  const base = 440 * 2 ** ((midi - 69) / 12);
  const rings = build.rings * 2 ** (-(midi - 52) / build.shorter) * Math.exp(d.normal(0, 0.15));
  for (let h = 1; h <= PARTIALS; h++) {
    const hertz = base * h * Math.sqrt(1 + build.stiffness * h * h);
    if (hertz > HIGHEST) break;
    const size = partialSize(build, h, hertz, soft) * 10 ** (d.normal(0, 2) / 20);
    const decay = (6.908 / rings) * (1 + build.damping * (h - 1));
    const phase = d.between(0, 2 * Math.PI);
    addPartial(tone, size, { hertz, decay, phase }, rate);
    const beside = hertz * 2 ** ((build.beat * d.between(0.5, 1.5)) / 1200);
    addPartial(tone, size * build.second, { hertz: beside, decay: 1.8 * decay, phase }, rate);
  }
  for (let i = 0; i < length; i++) tone[i]! *= 1 - Math.exp(-i / (rate * build.rise));
  const level = levelOf(tone, rate);
  addNoises(tone, build, d, level, rate);
  if (build.drive > 0) {
    for (let i = 0; i < length; i++) tone[i] = Math.tanh((tone[i]! / level) * build.drive) * level;
  }
  const most = tone.reduce((top, x) => Math.max(top, Math.abs(x)), 1e-9);
  const gain = ((soft ? 0.33 : 1) * 0.25) / most;
  return Float32Array.from(tone, (x) => gain * x);
}

function partialSize(build: Build, h: number, hertz: number, soft: boolean): number {
  const bright = build.bright * (soft ? 0.6 : 1);
  const plucked = Math.max(0.02, Math.abs(Math.sin(Math.PI * h * build.pick)));
  const picked =
    build.pickup === null ? 1 : Math.max(0.03, Math.abs(Math.sin(Math.PI * h * build.pickup)));
  const body = build.bumps.reduce(
    (sum, [centre, width, height]) =>
      sum + height * Math.exp(-((Math.log2(hertz / centre) / width) ** 2) / 2),
    0,
  );
  return ((h ** -build.slope * plucked * picked) / (1 + (hertz / bright) ** 2)) * 10 ** (body / 20);
}

interface Partial {
  readonly hertz: number;
  /** Share that goes in a second, as a natural logarithm. */
  readonly decay: number;
  readonly phase: number;
}

/** By turning a pointer: no sine is computed for each sample. */
function addPartial(
  out: Float64Array,
  size: number,
  { hertz, decay, phase }: Partial,
  rate: SampleRate,
): void {
  const shrink = Math.exp(-decay / rate);
  const turn = (2 * Math.PI * hertz) / rate;
  const [cos, sin] = [shrink * Math.cos(turn), shrink * Math.sin(turn)];
  let [x, y] = [size * Math.cos(phase), size * Math.sin(phase)];
  for (let i = 0; i < out.length && Math.abs(x) + Math.abs(y) > 1e-7; i++) {
    out[i]! += y;
    [x, y] = [x * cos - y * sin, x * sin + y * cos];
  }
}

const levelOf = (tone: Float64Array, rate: SampleRate): number => {
  const head = tone.subarray(0, Math.round(rate / 4));
  return Math.sqrt(head.reduce((sum, x) => sum + x * x, 0) / head.length) + 1e-9;
};

/** The body's thump, and the pick along the string. */
function addNoises(
  tone: Float64Array,
  build: Build,
  d: Dice,
  level: number,
  rate: SampleRate,
): void {
  const hertz = d.between(85, 240);
  const [thumps, scratches] = [d.between(0.015, 0.06), d.between(0.0015, 0.012)];
  for (let i = 0; i < Math.min(tone.length, rate / 2); i++) {
    const t = i / rate;
    tone[i]! +=
      level * build.thump * Math.exp(-t / thumps) * Math.sin(2 * Math.PI * hertz * t) +
      level * build.scratch * d.between(-1.7, 1.7) * Math.exp(-t / scratches);
  }
}

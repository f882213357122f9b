// What sounds beside a guitar at home, invented here: rain on glass, a washing machine, a family, a laptop, a bathroom.
import type { Hertz, Samples, Seconds } from '../../../../app/core/base/units.ts';
import type { Expectation } from '../../../../app/core/ear/model.ts';
import { BANK_RATE, samplesIn } from '../../ear-set/bank.ts';
import type { Dice } from '../../ear-set/random.ts';
import { fromLoudspeaker } from './loudspeaker.ts';
import { family } from './voices.ts';

type Maker = (d: Dice, length: Samples, expectation: Expectation) => Float32Array;

const MAKERS = {
  'rain on glass': rainOnGlass,
  'washing machine': washingMachine,
  family: (d, length) => throughWall(family(d, length), d),
  laptop,
  bathroom,
  band: fromLoudspeaker,
} as const satisfies Record<string, Maker>;
export type NoiseAtHome = keyof typeof MAKERS;

export const isAtHome = (kind: string): kind is NoiseAtHome => Object.hasOwn(MAKERS, kind);

export const noiseAtHome = (
  kind: NoiseAtHome,
  d: Dice,
  length: Samples,
  expectation: Expectation,
): Float32Array => MAKERS[kind](d, length, expectation);

interface Knock {
  readonly hertz: Hertz;
  readonly size: number;
  /** Falls to 1/e within. */
  readonly fall: Seconds;
}

function addKnock(out: Float32Array, from: Samples, { hertz, size, fall }: Knock): void {
  const turn = (2 * Math.PI * hertz) / BANK_RATE;
  const length = Math.min(samplesIn(5 * fall), out.length - from);
  for (let i = 0; i < length; i++) {
    out[from + i]! += size * Math.exp(-i / samplesIn(fall)) * Math.sin(turn * i);
  }
}

/** Air between two poles, its loudness going about between 1 and `swells`. */
function air(d: Dice, length: Samples, poles: readonly [number, number], swells = 1): Float32Array {
  const [fast, slow] = poles;
  let [high, low, loud, goal] = [0, 0, 1, 1];
  return new Float32Array(length).map((_, i) => {
    if (i % samplesIn(0.7) === 0) goal = d.between(Math.min(1, swells), Math.max(1, swells));
    loud += 5e-5 * (goal - loud);
    high += fast * (d.between(-1, 1) - high);
    low += slow * (high - low);
    return (loud * (high - low)) / Math.sqrt(fast);
  });
}

/** Times at which something happens by chance, so often a second. */
function* byChance(d: Dice, often: number, length: Samples): Generator<Samples> {
  for (let at = 0; ;) {
    at -= Math.log(1 - d.between(0, 0.9999)) / often;
    if (samplesIn(at) >= length) return;
    yield samplesIn(at);
  }
}

/** Gusts; drops that ring panes of their own pitches; a gutter. */
function rainOnGlass(d: Dice, length: Samples): Float32Array {
  const out = air(d, length, [0.35, 0.03], d.between(1.5, 3)).map((x) => 0.12 * x);
  const panes = Array.from({ length: 9 }, () => d.between(420, 3_800));
  for (const at of byChance(d, d.between(15, 90), length)) {
    const size = 0.6 * d.between(0, 1) ** 4 + 0.02;
    addKnock(out, at, { hertz: d.pick(panes), size, fall: d.between(0.003, 0.016) });
    addKnock(out, at, { hertz: d.between(3_000, 8_000), size: 0.5 * size, fall: 0.0015 });
  }
  for (const at of byChance(d, 1.5, length)) {
    addKnock(out, at, { hertz: d.between(260, 600), size: 0.25, fall: 0.03 });
  }
  return out;
}

/** A drum that turns one way, rests, turns the other, or spins; the motor's tones; water; zips against the drum. */
function washingMachine(d: Dice, length: Samples): Float32Array {
  const spins = d.chance(0.4);
  const turns = spins ? d.between(9, 16) : d.between(0.8, 1.1);
  const motor = spins ? d.between(280, 420) : d.between(130, 220);
  const [works, rests] = spins ? [1e6, 1] : [d.between(6, 12), d.between(2, 4)];
  const out = air(d, length, [0.2, 0.01]).map((x) => 0.06 * x);
  let [level, phase, slosh] = [0, 0, 0];
  for (let i = 0; i < length; i++) {
    const t = i / BANK_RATE;
    const on = t % (works + rests) < works ? 1 : 0;
    level += 4e-5 * (on - level);
    phase += (motor * (0.7 + 0.3 * level)) / BANK_RATE;
    const drum = 1 + 0.5 * Math.sin(2 * Math.PI * turns * t);
    slosh += 0.06 * (d.between(-1, 1) - slosh);
    let hum = Math.sin(4 * Math.PI * 50 * t) * 0.4;
    for (const [partial, size] of HUM) hum += size * Math.sin(2 * Math.PI * partial * phase);
    out[i]! += level * (0.1 * hum + drum ** 2 * 0.35 * slosh);
  }
  for (const at of byChance(d, spins ? 0.5 : 2.5, length)) {
    addKnock(out, at, { hertz: d.between(70, 180), size: d.between(0.1, 0.5), fall: 0.04 });
    if (d.chance(0.4)) addKnock(out, at, { hertz: d.between(1_500, 4_500), size: 0.2, fall: 0.01 });
  }
  return out;
}
const HUM = [
  [1, 0.5],
  [2, 0.35],
  [3, 0.2],
  [6, 0.25],
] as const;

/** What a wall leaves of a sound: little above a few hundred hertz, and some through the gap of the door. */
function throughWall(sound: Float32Array, d: Dice): Float32Array {
  const pole = 1 - Math.exp((-2 * Math.PI * d.between(350, 900)) / BANK_RATE);
  const gap = d.between(0.03, 0.2);
  let [a, b] = [0, 0];
  return sound.map((x) => {
    a += pole * (x - a);
    b += pole * (a - b);
    return b + gap * x;
  });
}

/** Its fan, its keys, and mains hum in its cable. */
function laptop(d: Dice, length: Samples): Float32Array {
  const whine = d.between(600, 1_100);
  const out = air(d, length, [0.3, 0.02], d.between(0.7, 1.3));
  const turn = (2 * Math.PI * whine) / BANK_RATE;
  const mains = (2 * Math.PI * 50) / BANK_RATE;
  for (let i = 0; i < length; i++) {
    out[i]! +=
      0.05 * Math.sin(turn * i) + 0.1 * Math.sin(mains * i) + 0.05 * Math.sin(3 * mains * i);
  }
  let at = samplesIn(d.between(2, 12));
  while (at < length) {
    const keys = Math.floor(d.between(1, 7));
    for (let k = 0; k < keys; k++) {
      const size = d.between(0.6, 2);
      addKnock(out, at, { hertz: d.between(180, 420), size, fall: 0.008 });
      addKnock(out, at, { hertz: d.between(2_200, 5_200), size: 0.7 * size, fall: 0.002 });
      at += samplesIn(d.between(0.09, 0.35));
    }
    at += samplesIn(d.between(4, 14));
  }
  return out;
}

/** A ventilator, a tap that drips into the basin, now and then a bottle on the edge of the tub. */
function bathroom(d: Dice, length: Samples): Float32Array {
  const out = air(d, length, [0.12, 0.015]).map((x) => 0.5 * x);
  const blades = (2 * Math.PI * d.between(90, 160)) / BANK_RATE;
  for (let i = 0; i < length; i++)
    out[i]! += 0.08 * Math.sin(blades * i) * (1 + Math.sin(0.5 * blades * i));
  const every = d.between(0.6, 2.2);
  for (let at = samplesIn(every); at < length; at += samplesIn(every * d.between(0.9, 1.1))) {
    let phase = 0;
    const [low, high] = [d.between(700, 1_200), d.between(1_400, 2_600)];
    const long = samplesIn(0.05);
    for (let i = 0; i < long && at + i < length; i++) {
      phase += (2 * Math.PI * (low + (high - low) * (i / long))) / BANK_RATE;
      out[at + i]! += 0.9 * Math.exp((-4 * i) / long) * Math.sin(phase);
    }
  }
  for (const at of byChance(d, 0.12, length)) {
    for (const mode of [1, 2.6, 5.1]) {
      addKnock(out, at, { hertz: 640 * mode * d.between(0.9, 1.1), size: 1.2 / mode, fall: 0.05 });
    }
  }
  return out;
}

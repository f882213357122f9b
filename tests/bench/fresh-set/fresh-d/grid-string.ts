// A plucked string on a grid of points: another kind of model than waveguides and sums of partials.
//
// The stiff string with two kinds of loss, by the explicit scheme of Bilbao, Numerical Sound Synthesis (2009), chapter 7
// (from memory; its pitch is proved by the tests), between two supports; a pick or a fingertip pulls it and lets it go.
import type { Hertz, SampleRate, Seconds } from '../../../../app/core/base/units.ts';
import { frequencyOf } from '../../../../app/core/sound/pluck.ts';
import type { StringModel } from '../../ear-set/bank.ts';
import { dice, type Dice } from '../../ear-set/random.ts';
import { type Mode, type Played, throughModes } from '../waveguide.ts';

/** What one guitar has in common. */
interface Build {
  /** Seconds in which E3 falls by 60 dB: its fundamental, and what lies at 3 kHz. */
  readonly rings: Seconds;
  readonly ringsHigh: Seconds;
  /** How far the partials lie above whole numbers: f(n) = n f √(1 + B n²). */
  readonly stiff: number;
  /** As shares of the string: where it is pulled, and where a pickup stands (none hears the bridge). */
  readonly pulled: number;
  readonly pickup: number | null;
  /** How long it is pulled, and how long it takes to slip off. */
  readonly pulls: Seconds;
  readonly slips: Seconds;
  readonly modes: readonly Mode[];
}

const HIGH: Hertz = 3_000;

/** @param electric With a pickup, under a pick; without one it has a body, and is played with a fingertip. */
export function gridGuitar(seed: number, electric: boolean, rate: SampleRate): StringModel {
  const build = drawBuild(dice(seed), electric);
  return (midi, soft, length) => {
    const d = dice(6151 * seed + 2 * midi + (soft ? 1 : 0));
    const sound = throughModes(plucked(build, d, { midi, soft, length, rate }), build.modes, rate);
    const most = sound.reduce((top, x) => Math.max(top, Math.abs(x)), 1e-12);
    const gain = ((soft ? 0.33 : 1) * 0.25) / most;
    return Float32Array.from(sound, (x) => gain * x);
  };
}

function drawBuild(d: Dice, electric: boolean): Build {
  const body = Array.from({ length: 9 }, () => ({
    hertz: 95 * 24 ** d.between(0, 1),
    q: d.between(8, 30),
    gain: d.between(-0.7, 0.9),
  }));
  return {
    rings: electric ? d.between(4, 8) : d.between(2, 4),
    ringsHigh: electric ? d.between(0.8, 2) : d.between(0.3, 0.8),
    stiff: electric ? d.between(3e-5, 9e-5) : d.between(2e-5, 8e-5),
    pulled: d.between(0.09, 0.3),
    pickup: electric ? d.between(0.08, 0.25) : null,
    pulls: electric ? d.between(0.0015, 0.004) : d.between(0.004, 0.009),
    slips: electric ? d.between(0.00008, 0.0002) : d.between(0.0003, 0.0009),
    modes: electric ? [{ hertz: d.between(2_000, 4_000), q: d.between(0.7, 2), gain: 1 }] : body,
  };
}

/** To this pitch `rings` belongs; it halves over so many semitones. */
const RINGS = { at: 52, halves: 28 } as const;
/** The natural logarithm of 60 dB. */
const SIXTY = 3 * Math.LN10;

/** Squares of what the scheme is made of, for a string of length 1 at its pitch. */
interface Scheme {
  readonly points: number;
  readonly waves: number;
  readonly bends: number;
  readonly losses: number;
  readonly lossesHigh: number;
}

function schemeFor(build: Build, { midi, rate }: Played): Scheme {
  const hertz = frequencyOf(midi);
  const k = 1 / rate;
  const rough = 2 * hertz;
  const bends = (rough * Math.sqrt(build.stiff)) / Math.PI;
  const shorter = 2 ** (-(midi - RINGS.at) / RINGS.halves);
  const low = SIXTY / (build.rings * shorter);
  const high = SIXTY / (build.ringsHigh * shorter);
  const lossesHigh = Math.max(0, high - low) / ((2 * Math.PI * HIGH) / rough) ** 2;
  const edge = rough ** 2 * k ** 2 + 4 * lossesHigh * k;
  const finest = Math.sqrt((edge + Math.sqrt(edge ** 2 + 16 * bends ** 2 * k ** 2)) / 2);
  const points = Math.floor(0.98 / finest);
  // The speed at which the grid's own first mode has this pitch.
  const s = Math.sin(Math.PI / (2 * points)) ** 2;
  const mu = (bends * k * points ** 2) ** 2;
  const waves = (Math.sin(Math.PI * hertz * k) ** 2 - 4 * mu * s ** 2) / s;
  return {
    points,
    waves,
    bends: mu,
    losses: low * k,
    lossesHigh: 2 * lossesHigh * k * points ** 2,
  };
}

/** What the bridge or the pickup has of it. */
function plucked(build: Build, d: Dice, played: Played): Float64Array {
  const { points, waves, bends, losses, lossesHigh } = schemeFor(build, played);
  const out = new Float64Array(played.length);
  const pull = pullOf(build, d, played);
  const at = Math.max(
    1,
    Math.min(points - 1, Math.round(build.pulled * d.between(0.9, 1.1) * points)),
  );
  const heard = build.pickup === null ? 1 : Math.max(1, Math.round(build.pickup * points));
  // Two points more on either side: what lies beyond a support mirrors what lies before it.
  let [now, before, next] = [0, 1, 2].map(() => new Float64Array(points + 5));
  const self = 2 - 2 * waves - 6 * bends - 2 * lossesHigh;
  const beside = waves + 4 * bends + lossesHigh;
  for (let n = 0; n < out.length; n++) {
    const [u, v, w] = [now!, before!, next!];
    for (let i = 3; i < points + 2; i++) {
      const a = self * u[i]! + beside * (u[i - 1]! + u[i + 1]!) - bends * (u[i - 2]! + u[i + 2]!);
      const b = (losses + 2 * lossesHigh - 1) * v[i]! - lossesHigh * (v[i - 1]! + v[i + 1]!);
      w[i] = (a + b) / (1 + losses);
    }
    if (n < pull.length) w[at + 2]! += pull[n]!;
    w[1] = -w[3]!;
    w[points + 3] = -w[points + 1]!;
    out[n] = build.pickup === null ? w[3]! : w[heard + 2]! - u[heard + 2]!;
    [now, before, next] = [w, u, v];
  }
  return out;
}

/** The force while it is pulled, and while it slips off; played softly it slips off more slowly. */
function pullOf(build: Build, d: Dice, { soft, rate }: Played): Float64Array {
  const pulls = Math.round(build.pulls * d.between(0.8, 1.2) * rate);
  const slips = Math.max(2, Math.round(build.slips * (soft ? 2 : 1) * rate));
  return new Float64Array(pulls + slips).map((_, i) =>
    i < pulls
      ? 0.5 - 0.5 * Math.cos((Math.PI * i) / pulls)
      : 0.5 + 0.5 * Math.cos((Math.PI * (i - pulls)) / slips),
  );
}

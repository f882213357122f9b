// Moves the weights of the hand model towards what a published table lists first, without leaving reason.
import type { FINGERING_EASE, FRETS_EASE } from '../../../app/core/fretboard/weights.ts';
import { adam } from '../adam.ts';
import type { Dice } from '../ear-set/random.ts';
import type { Example, PrintedFingering } from './examples.ts';
import {
  type Contest,
  type Weights,
  NAMES,
  addAmounts,
  fingeringContest,
  firstContest,
  gripContest,
  heldBy,
  leadContest,
} from './standing.ts';

/** What reasoning about the hand and the ear gave before any table was looked at; the fit is held near these. */
const REASONED: Readonly<Record<keyof typeof FINGERING_EASE | keyof typeof FRETS_EASE, number>> = {
  finger: 1,
  fourthFinger: 0.3,
  barre: 0.8,
  barreString: 0.15,
  barreAtNut: 0.2,
  barreByOther: 0.6,
  barreClearing: 1,
  besideBarre: 0.5,
  stretch: 0.3,
  skippedFinger: 0.5,
  crossed: 0.5,
  crowding: 0.1,
  span: 0.9,
  mutedLow: 0.4,
  mutedHigh: 0.4,
  mutedInner: 4.3,
  mutedByTip: 0.9,
  fourStrings: 0.5,
  threeStrings: 3.7,
  position: 4.7,
  openHighUp: 1.3,
  omittedFifth: 2.3,
  omittedOther: 1.4,
  unison: 1.4,
  doubledColour: 0.5,
  lowThird: 1.5,
  lowSecond: 1.6,
  fifthInBass: 1.8,
};
/** As logarithms, so that no weight can become negative. */
const START = Float64Array.from(NAMES, (name) => Math.log(REASONED[name]));
/** The unit: one finger. */
const FIXED = NAMES.indexOf('finger');

/** What the square of a weight's logarithm away from reason costs, in chords won. */
const HOLD = 1;
/** A grip among the best three counts one; on top, the very position as the easiest of its grip, and of all. */
const LEAD_SHARE = 0.3;
const FIRST_SHARE = 0.1;
/** A printed fingering that is the easiest; there are four positions to a chord. */
const FINGERING_SHARE = 0.1;
/** The qualities by which agreement is measured count whole, all others this much. */
const OTHER_SHARE = 0.4;

const STEPS = 200;
const RATE = 0.06;
/** How sharply a contest is decided, in units of ease: blurred at first, so that far ones are not given up. */
const blurAt = (step: number): number => 0.8 * (1 - step / STEPS) + 0.1;

export interface Lessons {
  readonly examples: readonly Example[];
  readonly fingerings: readonly PrintedFingering[];
}

export interface Fit {
  readonly weights: Weights;
  readonly gain: number;
}

/** The best of `starts` climbs: from the reasoned weights, then from others around them. */
export function fitWeights(lessons: Lessons, starts: number, d: Dice): Fit {
  const fits = Array.from({ length: starts }, (_, i) =>
    climb(
      lessons,
      START.map((v) => v + (i === 0 ? 0 : d.normal(0, 0.3))),
    ),
  );
  return fits.reduce((best, fit) => (fit.gain > best.gain ? fit : best));
}

/** Gradient ascent, the unit held. */
function climb(lessons: Lessons, start: Float64Array): Fit {
  const logs = Float64Array.from(start);
  logs[FIXED] = 0;
  const stride = adam(NAMES.length);
  for (let step = 1; step <= STEPS; step++) {
    const { slope } = evaluate(lessons, logs, blurAt(step));
    slope[FIXED] = 0;
    const moves = stride(slope, RATE * (1 - (0.85 * step) / STEPS));
    for (let i = 0; i < logs.length; i++) logs[i]! += moves[i]!;
  }
  return { weights: logs.map(Math.exp), gain: evaluate(lessons, logs, blurAt(STEPS)).gain };
}

/** Chords won, less what leaving reason costs, and its slope by the logarithm of each weight. */
function evaluate(lessons: Lessons, logs: Float64Array, blur: number) {
  const weights = logs.map(Math.exp);
  const slope = new Float64Array(NAMES.length);
  let gain = 0;
  for (const example of lessons.examples) {
    const all = heldBy(example, weights);
    const share = example.common ? 1 : OTHER_SHARE;
    gain += won(gripContest(all), share, blur, slope);
    gain += won(leadContest(all, example.lead), share * LEAD_SHARE, blur, slope);
    gain += won(firstContest(all, example.lead), share * FIRST_SHARE, blur, slope);
  }
  for (const fingering of lessons.fingerings) {
    gain += won(fingeringContest(fingering, weights), FINGERING_SHARE, blur, slope);
  }
  for (let i = 0; i < slope.length; i++) {
    const away = logs[i]! - START[i]!;
    gain -= HOLD * away ** 2;
    slope[i] = slope[i]! * weights[i]! - 2 * HOLD * away;
  }
  return { gain, slope };
}

/** Between 0 (lost) and `share` (won, or no rival), by a logistic curve; adds its slope by the weights. */
function won(contest: Contest | undefined, share: number, blur: number, slope: Float64Array) {
  if (!contest) return share;
  const { wanted, rival } = contest;
  const p = 1 / (1 + Math.exp((wanted.ease - rival.ease) / blur));
  const steep = (share * p * (1 - p)) / blur;
  if (steep > 1e-6) {
    addAmounts(rival, steep, slope);
    addAmounts(wanted, -steep, slope);
  }
  return share * p;
}

// One change: when it came, and which chord it was, as the network hears it.
import type { Midi, Seconds, Share } from '../base/units.ts';
import type { ChangeHeard } from '../model/pass.ts';
import { FAST_REACH, type Frames } from './frames.ts';
import type { Expectation, ExpectedChange } from './model.ts';
import type { Impression, Network } from './network/network.ts';
import { FAST, LOWEST_PITCH, type Score } from './network/shape.ts';
import { scoreOf } from './score.ts';
import { strokesBetween } from './strokes.ts';
import { isRight, pitchClassesOf, tellChange } from './tell-change.ts';
import { timingOf } from './verdict.ts';

export interface JudgedChange {
  readonly heard: ChangeHeard;
  /** Probability of each pitch class, C first; absent where nothing was struck. */
  readonly present?: readonly Share[];
}

/** The sound so far, and what makes sense of it. */
interface Listening {
  readonly frames: Frames;
  readonly network: Network;
}

/** Slow frames are looked at until so long before the next change: their windows reach further. */
export const SEEN_BEFORE: Seconds = 0.05;
/** Where nothing was struck in time, it is listened for again so much later. */
const LATER: Seconds = 0.36;
/** A stroke that begins nearer than this to the next change is that one's. */
const LEAST_SPAN: Seconds = 0.15;
/** Frames to each side of the likeliest one that share in the moment, and the share of their weight before it. */
const NEAR = 7;
const BEFORE = 0.55;
/** Less power than this in every frame is nobody playing (−80 dBFS). */
const NOTHING = 1e-8;

/** One change, once the sound up to the next has come. @param index into the changes of `expectation` */
export function judgeChange(expectation: Expectation, index: number, ear: Listening): JudgedChange {
  const change = expectation.changes[index]!;
  if (!change.sounds) return { heard: silenceHeld(change, ear.frames) };
  const found = bestWay(expectation, change, ear);
  if (!found) return { heard: nothingHeard(change) };
  const { at, impression, way } = found;
  const offset = Math.round((at - change.due) * 10_000) / 10;
  return {
    heard: {
      ...named(change),
      offset,
      timing: timingOf(offset),
      ...tellChange(way, impression),
    },
    present: pitchClassesOf(impression),
  };
}

interface Found extends Begun {
  readonly way: ExpectedChange;
}

/** The first way of playing it that is right; where none is, the one that comes nearest. */
function bestWay(
  expectation: Expectation,
  change: ExpectedChange,
  ear: Listening,
): Found | undefined {
  let best: Found | undefined;
  let whole: Impression | undefined;
  for (const way of waysToPlay(expectation, change)) {
    if (whole && struckBeyond(change, way, whole)) continue;
    const begun = beginningOf(expectation, way, ear);
    if (!begun) continue;
    const impression = heardAgain(expectation, change, begun, ear);
    whole ??= impression;
    if (!best || impression.facts.right > best.impression.facts.right) {
      best = { at: begun.at, impression, way };
    }
    if (isRight(way, impression)) break;
  }
  return best;
}

const FIFTH = 7;
const TRIAD = 3;
/** An up-stroke reaches so many of the highest strings. */
const REACHED_UPWARDS = [5, 4, 3];

/**
 * As it is written, first. A chord of four tones and more whose shape is not known may be gripped without its fifth, and an
 * up-stroke leaves out the lowest strings (both common practice, no source).
 */
function waysToPlay({ strokes }: Expectation, change: ExpectedChange): readonly ExpectedChange[] {
  const { to } = change;
  if (!to) return [change];
  if (!to.strings) {
    const pitchClasses = to.pitchClasses.filter((pc) => pc !== (to.root + FIFTH) % 12);
    return to.pitchClasses.length <= TRIAD
      ? [change]
      : [change, { ...change, to: { ...to, pitchClasses } }];
  }
  const first = strokes.find((stroke) => !stroke.muted && Math.abs(stroke.at - change.due) < 1e-3);
  if (first?.direction !== 'up') return [change];
  const { strings } = to;
  const sounding = strings.filter((midi) => midi !== null).length;
  const ways = REACHED_UPWARDS.filter((reached) => reached < sounding).map((reached) => {
    const lowest = strings.length - highestStrings(strings, reached);
    return strings.map((midi, i) => (i >= lowest ? midi : null));
  });
  return [change, ...ways.map((of) => ({ ...change, to: { ...to, strings: of } }))];
}

/** Log odds from which on a string was surely struck. */
const STRUCK = 2;

/** Were strings struck that this way leaves out? Then the hand went over them all. */
function struckBeyond(
  { to }: ExpectedChange,
  way: ExpectedChange,
  { struck }: Impression,
): boolean {
  const reached = way.to?.strings;
  if (!to?.strings || !reached) return false;
  return to.strings.some(
    (midi, i) => midi !== null && reached[i] === null && struck[midi - LOWEST_PITCH]! > STRUCK,
  );
}

/** How many strings, from the highest on, hold `count` sounding ones. */
function highestStrings(strings: readonly (Midi | null)[], count: number): number {
  let left = count;
  const last = strings.findLastIndex((midi) => midi !== null && --left === 0);
  return strings.length - last;
}

interface Begun {
  readonly impression: Impression;
  readonly at: Seconds;
}

/** Looks around the due moment, and where nothing began there, later and later until the next change. */
function beginningOf(
  expectation: Expectation,
  change: ExpectedChange,
  { frames, network }: Listening,
): Begun | null {
  const score = scoreOf(expectation, change);
  const last = change.until - 2 * LEAST_SPAN;
  for (let at = change.due; at === change.due || at < last; at += LATER) {
    const patch = frames.patch(at, change.until - SEEN_BEFORE);
    if (!anythingIn(frames, at, change.until)) continue;
    const impression = network.hear(patch, score);
    const began = patch.reference + momentOf(impression.when, PATIENT);
    if (began > change.until - LEAST_SPAN && change.until - change.due > 2 * LEAST_SPAN) continue;
    if (!isBegun(impression)) continue;
    const second = laterStroke(expectation, change, began);
    const first = second && momentBefore([at, second.at], score, { frames, network });
    return { impression, at: first ?? began };
  }
  return null;
}

/** A later stroke of the chord that was due when this one came. */
const laterStroke = ({ strokes }: Expectation, { due, until }: ExpectedChange, began: Seconds) =>
  strokes.find(
    ({ at }) => at > due + NEAR_STROKE && at < until && Math.abs(at - began) < NEAR_STROKE,
  );

/** What began when a later stroke was due is mostly that stroke: was there one before it? */
function momentBefore(
  [at, stroke]: readonly [at: Seconds, stroke: Seconds],
  score: Score,
  { frames, network }: Listening,
): Seconds | undefined {
  const patch = frames.patch(at, stroke - SEEN_BEFORE);
  const impression = network.hear(patch, score);
  const began = patch.reference + momentOf(impression.when, PATIENT);
  return isBegun(impression) && began < stroke - NEAR_STROKE ? began : undefined;
}

/** Log odds of "right" nearer to 0 than this are a doubt, and later strokes of the chord are listened to. */
const DOUBT = 6;
/** So much of a doubt later strokes may take away or turn: less than what a clear first stroke says. */
const LATER_COUNTS = 5;
/** So many later strokes, from so long after the first on, with so long before the next change. */
const AGAIN = { most: 3, after: 0.15, before: 0.25 } as const;
/** A later stroke counts where it comes this near to its moment. */
const NEAR_STROKE: Seconds = 0.06;

/** Where the first stroke leaves a doubt, the later strokes of the same chord are asked, too. */
function heardAgain(
  { strokes, ...expectation }: Expectation,
  change: ExpectedChange,
  { impression, at }: Begun,
  { frames, network }: Listening,
): Impression {
  const { right, held, dead } = impression.facts;
  if (Math.abs(right) > DOUBT || held > 0 || dead > 0) return impression;
  const [from, to] = [at + AGAIN.after, change.until - AGAIN.before];
  // An up-stroke leaves out strings, so that it says less of the chord than it seems.
  const due = strokes.filter(
    ({ muted, direction, at: when }) => !muted && direction === 'down' && when > from && when < to,
  );
  const score = scoreOf({ strokes, ...expectation }, { ...change, from: change.to });
  const odds = due.slice(0, AGAIN.most).flatMap((stroke) => {
    const patch = frames.patch(stroke.at, change.until - SEEN_BEFORE);
    const heard = network.hear(patch, score);
    const off = patch.reference + momentOf(heard.when) - stroke.at;
    return isBegun(heard) && Math.abs(off) < NEAR_STROKE ? [heard.facts.right] : [];
  });
  if (odds.length === 0) return impression;
  const mean = odds.reduce((sum, o) => sum + o, 0) / odds.length;
  const more = Math.max(-LATER_COUNTS, Math.min(LATER_COUNTS, mean));
  return { ...impression, facts: { ...impression.facts, right: right + more } };
}

const isBegun = ({ when, facts }: Impression): boolean =>
  when[FAST.frames]! < 0.5 && facts.silent < 1;

/**
 * Of two strokes that may be the change the earlier one mostly is: training draws late ones far more often than
 * players are. From the first time on, weights fall to 1/e within the second one.
 */
const PATIENT = { until: 0.06, fall: 0.1 } as const;

/**
 * Where the weight around the likeliest frame is cut so that a little more than half lies before: the share that leaves the
 * guitars of the validation part without a common bias. From the reference moment.
 */
export function momentOf(when: Float64Array, patient?: typeof PATIENT): Seconds {
  let best = 0;
  const worth = (i: number): number => {
    const late = patient ? Math.max(0, FAST.first + FAST.hop * i - patient.until) : 0;
    return when[i]! * Math.exp(-late / (patient?.fall ?? 1));
  };
  for (let i = 1; i < FAST.frames; i++) if (worth(i) > worth(best)) best = i;
  const [from, to] = [Math.max(0, best - NEAR), Math.min(FAST.frames - 1, best + NEAR)];
  let total = 0;
  for (let i = from; i <= to; i++) total += when[i]!;
  let left = BEFORE * total;
  let frame = from;
  while (frame < to && when[frame]! < left) left -= when[frame++]!;
  return FAST.first + FAST.hop * (frame - 0.5 + left / when[frame]!);
}

function anythingIn(frames: Frames, at: Seconds, until: Seconds): boolean {
  const to = Math.min(at + 0.8, until - SEEN_BEFORE + FAST_REACH);
  for (let t = at - 0.1; t < to; t += 5 * FAST.hop) {
    if (frames.fast(Math.round(t / FAST.hop))[FAST.bands]! > NOTHING) return true;
  }
  return false;
}

const named = ({ bar, change, names }: ExpectedChange) => ({ bar, change, ...names });

/** Where no stroke is written the chord may have been meant to ring in silence. */
const nothingHeard = (change: ExpectedChange): ChangeHeard =>
  change.struck
    ? { ...named(change), timing: 'silent', chord: 'silent', confidence: 0.9 }
    : { ...named(change), timing: 'unsure', chord: 'unsure', confidence: 0 };

/** Where nothing should sound, a stroke is the mistake. */
function silenceHeld(change: ExpectedChange, frames: Frames): ChangeHeard {
  const [from, to] = [change.due + 0.1, change.until - 0.1];
  const struck = strokesBetween(frames, from - 0.1, to).some(
    (stroke) => stroke.strength >= 1 && stroke.at > from && anythingIn(frames, stroke.at, to),
  );
  return struck
    ? { ...named(change), timing: 'unsure', chord: 'other', confidence: 0.7 }
    : { ...named(change), offset: 0, timing: 'on-time', chord: 'right', confidence: 0.7 };
}

// One change: when it came, and which chord it was, from the strokes and the notes that were heard.
import type { Heard } from './heard.ts';
import type { ChangeHeard } from '../model/pass.ts';
import type { Seconds, Share } from '../base/units.ts';
import { pairStrokes } from './align.ts';
import { tellChord } from './tell-chord.ts';
import type { Expectation, ExpectedChange } from './model.ts';
import type { Onset } from './onsets.ts';
import { TOGETHER } from './verdict.ts';
import type { TuningEvidence } from './tuning.ts';

export interface JudgedChange {
  readonly heard: ChangeHeard;
  readonly tuning: TuningEvidence;
  /** Probability of each pitch class, C first; absent where no pitches could be read. */
  readonly present?: readonly Share[];
}

/** Strokes this long before a change are paired too, so that a late one of the old chord is not taken for it. */
const LOOK_BACK: Seconds = 0.8;
/** So far after the next change its own first stroke is looked for. */
const LOOK_AHEAD: Seconds = 0.05;

export function judgeChange(
  expectation: Expectation,
  index: number,
  heard: Heard,
  tuning: TuningEvidence,
): JudgedChange {
  const change = expectation.changes[index]!;
  if (!change.sounds) return { heard: silenceHeld(change, heard.onsets), tuning };
  const arrival = arrivalOf(expectation, change, heard.onsets);
  if (!arrival) return { heard: nothingHeard(change), tuning };
  const offset = Math.round((arrival.at - change.due) * 10_000) / 10;
  const told = tellChord(change, heard, arrival, tuning);
  const timing = Math.abs(offset) <= TOGETHER ? 'on-time' : offset < 0 ? 'early' : 'late';
  const { chord, confidence } = told;
  const name = told.heard === undefined ? {} : { heard: told.heard };
  return {
    heard: {
      ...named(change),
      offset,
      timing,
      chord,
      ...name,
      confidence: confidence * sureness(arrival),
    },
    tuning: told.tuning,
    ...(told.present && { present: told.present }),
  };
}

const named = ({ bar, change, names }: ExpectedChange) => ({ bar, change, ...names });

/** Where no stroke is written the chord may have been meant to ring in silence. */
const nothingHeard = (change: ExpectedChange): ChangeHeard =>
  change.struck
    ? { ...named(change), timing: 'silent', chord: 'silent', confidence: 0.9 }
    : { ...named(change), timing: 'unsure', chord: 'unsure', confidence: 0 };

/** A faint stroke is less sure to be one. */
const sureness = ({ strength }: Onset): Share => Math.min(1, 0.6 + 0.4 * strength);

/** Where nothing should sound, a stroke is the mistake. */
function silenceHeld(change: ExpectedChange, onsets: readonly Onset[]): ChangeHeard {
  const struck = onsets.find(
    (o) => o.strength >= 1 && o.at > change.due + 0.1 && o.at < change.until - 0.1,
  );
  return struck
    ? { ...named(change), timing: 'unsure', chord: 'other', confidence: 0.7 }
    : { ...named(change), offset: 0, timing: 'on-time', chord: 'right', confidence: 0.7 };
}

/**
 * The stroke that brought the chord: the one paired with the change's first due stroke, or else the first
 * that came later and before the next change.
 */
function arrivalOf(
  { strokes, changes }: Expectation,
  change: ExpectedChange,
  onsets: readonly Onset[],
): Onset | null {
  const next = changes.find((c) => c.due > change.due + 1e-6);
  const end = next ? next.due + LOOK_AHEAD : change.until;
  const from = change.due - LOOK_BACK;
  const due = dueTimes(strokes, change, from, end);
  const near = onsets.filter((o) => o.at >= from - 0.1 && o.at < end);
  const pairing = pairStrokes(due, near);
  const mine = due.indexOf(change.due);
  const paired = pairing[mine];
  if (paired !== null && paired !== undefined) return near[paired]!;
  const taken = new Map(pairing.map((j, i) => [j, due[i]!]));
  return near.find((o, j) => isLateArrival(o, taken.get(j), change)) ?? null;
}

/** Not one that belongs to the chord before or to the next change. */
function isLateArrival(
  onset: Onset,
  pairedWith: Seconds | undefined,
  change: ExpectedChange,
): boolean {
  if (onset.strength < 1 || onset.at < change.due || onset.at >= change.until) return false;
  return pairedWith === undefined || (pairedWith >= change.due && pairedWith < change.until - 1e-6);
}

/** Due strokes around the change, with the change's own moment among them even where no stroke is written. */
function dueTimes(
  strokes: Expectation['strokes'],
  change: ExpectedChange,
  from: Seconds,
  end: Seconds,
): Seconds[] {
  const times = strokes.filter((s) => s.at >= from && s.at < end).map((s) => s.at);
  const own = times.findIndex((t) => Math.abs(t - change.due) < 1e-6);
  if (own >= 0) times[own] = change.due;
  else times.push(change.due);
  return times.sort((a, b) => a - b);
}

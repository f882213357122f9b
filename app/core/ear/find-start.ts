// Where a pass begins in a recording that nobody timed: every place is asked how well the whole pass fits there.
import type { PitchClass, Seconds, Share } from '../base/units.ts';
import type { Frames } from './frames.ts';
import type { Expectation } from './model.ts';
import { type Stroke, strokesBetween } from './strokes.ts';
import { hearTuning, NO_TUNING, tuningOf } from './tuning.ts';
import { chordOdds } from './start/chord-odds.ts';
import { type Due, type DueChord, stretched } from './start/due.ts';
import { type Heard, nearest } from './start/place.ts';
import { placesOf } from './start/places.ts';

export interface FoundStart {
  readonly start: Seconds;
  /** Another place fits nearly as well. */
  readonly doubtful: boolean;
  /** How likely this place is beside all others. */
  readonly sure: Share;
  /** The pass was played so many times as long as written, 0.97–1.03 in hundredths. */
  readonly pace: number;
}

/** Surer than this is sure; chosen on the train and choose parts of tests/bench/start-set. */
const SURE: Share = 0.9;
/** A stroke this far from its moment says nothing about how late the player is on the whole. */
const REACH: Seconds = 0.08;
/** So many of the clearest strokes tell the guitar's tuning. */
const TUNED_BY = 16;
const TUNED_WITHIN: Seconds = 0.3;

/**
 * The start time of a pass in a recording of `length`; null where no stroke was heard. `expected` says what is due if
 * it begins at 0. The player's own median lateness goes into it: offsets from here are relative.
 */
export function findStart(
  expected: Expectation,
  frames: Frames,
  length: Seconds,
): FoundStart | null {
  const due = dueOf(expected);
  const strokes = strokesBetween(frames, 0, length);
  if (!due || strokes.length === 0) return null;
  tune(frames, strokes);
  const heard: Heard = {
    strokes: strokes.map(({ at }) => at),
    chords: chordOdds(differing(due.chords), (frame) => frames.slow(frame), length),
    length,
  };
  const [best, ...others] = placesOf(heard, due);
  if (!best) return null;
  const sure = 1 / others.reduce((sum, { worth }) => sum + Math.exp(worth - best.worth), 1);
  const { pace } = best;
  const start = best.start + lateness(heard.strokes, stretched(due, pace), best.start);
  return { start, doubtful: sure < SURE, sure, pace };
}

function tune(frames: Frames, strokes: readonly Stroke[]): void {
  const clearest = strokes.toSorted((a, b) => b.strength - a.strength).slice(0, TUNED_BY);
  const evidence = clearest.reduce(
    (so, { at }) => hearTuning(so, frames, at, at + TUNED_WITHIN),
    NO_TUNING,
  );
  frames.tune(tuningOf(evidence));
}

const differing = (chords: readonly DueChord[]): (readonly PitchClass[])[] => [
  ...new Map(chords.map(({ tones }) => [tones.join(), tones])).values(),
];

/** Of what is due where the pass begins at 0; null where nothing is. */
function dueOf({ strokes, changes, clicks, beat }: Expectation): Due | null {
  const moments = new Set(changes.map(({ due }) => nearly(due)));
  const written = strokes.length > 0;
  const at = written ? strokes.map((s) => s.at) : changes.filter((c) => c.sounds).map((c) => c.due);
  if (at.length === 0) return null;
  return {
    strokes: at
      .toSorted((a, b) => a - b)
      .map((moment) => ({ at: moment, changes: moments.has(nearly(moment)) })),
    written,
    chords: changes.flatMap(({ to, due: from, until }) => {
      if (!to) return [];
      const tones = to.pitchClasses.toSorted((a, b) => a - b);
      return [{ tones, from, until, beats: Math.max(1, Math.round((until - from) / beat)) }];
    }),
    countIn: clicks.flatMap((click) => (click.at < -1e-6 ? [click.at] : [])),
    beat,
    end: Math.max(at.at(-1)!, changes.at(-1)?.until ?? 0),
  };
}

const nearly = (at: Seconds): number => Math.round(at * 1000);

/** Middle distance of the strokes from their moments, less the few that are far off. */
function lateness(strokes: readonly Seconds[], due: Due, start: Seconds): Seconds {
  const late = due.strokes.flatMap(({ at }) => {
    const off = strokes[nearest(strokes, start + at)]! - (start + at);
    return Math.abs(off) <= REACH ? [off] : [];
  });
  return late.toSorted((a, b) => a - b)[late.length >> 1] ?? 0;
}

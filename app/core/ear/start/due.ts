// What a pass says about itself wherever it begins: its strokes, its chords beat by beat, and the clicks that lead in.
import type { PitchClass, Seconds, Share } from '../../base/units.ts';

/** Every time is from the start of the pass. */
export interface Due {
  /** By time; never empty. */
  readonly strokes: readonly DueStroke[];
  /** Did somebody write the strokes? Else there is one for each change, and more may come. */
  readonly written: boolean;
  readonly chords: readonly DueChord[];
  /** Clicks before the pass. */
  readonly countIn: readonly Seconds[];
  readonly beat: Seconds;
  readonly end: Seconds;
}

export interface DueStroke {
  readonly at: Seconds;
  /** A stroke with which the hand changes comes late more often. */
  readonly changes: boolean;
}

export interface DueChord {
  /** Ascending; what it is known by. */
  readonly tones: readonly PitchClass[];
  readonly from: Seconds;
  readonly until: Seconds;
  /** How many beats it lasts, at least 1. */
  readonly beats: number;
}

/** Played so many times as long. */
export function stretched(due: Due, pace: number): Due {
  return {
    ...due,
    strokes: due.strokes.map(({ at, changes }) => ({ at: pace * at, changes })),
    chords: due.chords.map((c) => ({ ...c, from: pace * c.from, until: pace * c.until })),
    countIn: due.countIn.map((at) => pace * at),
    beat: pace * due.beat,
    end: pace * due.end,
  };
}

/** The strokes and chords before `until`; it ends where it ended. */
export function beginningOf(due: Due, until: Seconds): Due {
  return {
    ...due,
    strokes: due.strokes.filter(({ at }, i) => i === 0 || at < until),
    chords: due.chords.filter(({ from }) => from < until),
  };
}

/** How much of the pass a recording holds in which it begins at `start`. */
export function heldBy(recording: Seconds, { end }: Due, start: Seconds): Share {
  return Math.max(0, Math.min(recording, start + end) - Math.max(0, start)) / end;
}

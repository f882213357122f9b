// Where a pass begins in a recording that nobody timed: every place is asked how well the whole pass fits there.
import type { Cents, PitchClass, Seconds, Share } from '../base/units.ts';
import type { Frames } from './frames.ts';
import type { Expectation } from './model.ts';
import { type Stroke, strokesBetween } from './strokes.ts';
import { hearTuning, NO_TUNING, tuningOf } from './tuning.ts';
import { chordOdds } from './start/chord-odds.ts';
import { type Due, type DueChord, stretched } from './start/due.ts';
import { chordsHeard, type Heard, nearest } from './start/fit.ts';
import { type StartPlace, placesOf } from './start/places.ts';

export interface FoundStart {
  readonly start: Seconds;
  /** Another place fits nearly as well, or few of the chords are heard at this one. */
  readonly doubtful: boolean;
  /** How likely this place is beside all others. */
  readonly sure: Share;
  /** The pass was played so many times as long as written, 0.97–1.03 in hundredths. */
  readonly pace: number;
}

/**
 * Surer than this is sure. Chosen on 231 takes of the train and choose parts of tests/bench/start-set and of fast eighths:
 * 4 of 230 right ones are doubted (at 0.9 it were 3), and the one that is wrong is.
 */
const SURE: Share = 0.97;
/** Where the due chord is heard on fewer beats than this, whatever decides is no music. */
const LEAST_CHORDS: Share = 0.4;
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
  const hearings = tuningsOf(frames, strokes).map((tuning) => {
    frames.tune(tuning);
    const chords = chordOdds(differing(due.chords), (frame) => frames.slow(frame), length);
    const heard: Heard = { strokes: strokes.map(({ at }) => at), chords, length };
    return { heard, places: placesOf(heard, due) };
  });
  const { heard, places } = hearings.reduce((a, b) => (worthOfBest(b) > worthOfBest(a) ? b : a));
  const [best, ...others] = places;
  if (!best) return null;
  const sure = 1 / others.reduce((sum, { worth }) => sum + Math.exp(worth - best.worth), 1);
  const { pace } = best;
  const played = stretched(due, pace);
  const doubtful = sure < SURE || chordsHeard(heard, played, best.start) < LEAST_CHORDS;
  const start = best.start + lateness(heard.strokes, played, best.start);
  return { start, doubtful, sure, pace };
}

const worthOfBest = ({ places }: { readonly places: readonly StartPlace[] }): number =>
  places[0]?.worth ?? -Infinity;

/** Nearer to half a semitone the next pitch down, sharp, is as likely: both are tried. */
const AMBIGUOUS: Cents = 33;

function tuningsOf(frames: Frames, strokes: readonly Stroke[]): Cents[] {
  const clearest = strokes.toSorted((a, b) => b.strength - a.strength).slice(0, TUNED_BY);
  const evidence = clearest.reduce(
    (so, { at }) => hearTuning(so, frames, { began: at, until: at + TUNED_WITHIN }),
    NO_TUNING,
  );
  const tuning = tuningOf(evidence);
  return Math.abs(tuning) < AMBIGUOUS ? [tuning] : [tuning, tuning - 100 * Math.sign(tuning)];
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
    chords: changes.flatMap(({ to, due: from, until: over }, i) => {
      if (!to) return [];
      const tones = to.pitchClasses.toSorted((a, b) => a - b);
      // It rings on until the next one is struck, though that may be due some beats before.
      const until = Math.max(over, changes[i + 1]?.due ?? over);
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

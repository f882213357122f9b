// What the ear is told before it listens: which chord is due when, with which strokes, and what else sounds.
//
// The moment of a strum is the moment at which its first string begins to sound. It is so in the expectation,
// in what is heard, in the test set's truth and in every offset the program shows.
import type { Finger, Midi, PitchClass, Seconds } from '../base/units.ts';
import type { KnownClick } from './clicks.ts';

export interface ExpectedChord {
  /** The fingered name, as it stands in the chart. */
  readonly symbol: string;
  /** Sounding, capo included, like the pitch classes. */
  readonly root: PitchClass;
  readonly pitchClasses: readonly PitchClass[];
  /** Semitones it sounds above what is fingered: chords that are heard instead are named as they would be gripped. */
  readonly lift: number;
  /** What each string sounds, capo included, string 6 first; absent when only the symbol is known. */
  readonly strings?: readonly (Midi | null)[];
  /** What each string sounds open, capo included, and the finger that holds it in this shape; string 6 first. */
  readonly open?: readonly Midi[];
  readonly fingers?: readonly (Finger | null)[];
}

export interface ExpectedStroke {
  /** From the start of the recording, like every time here. */
  readonly at: Seconds;
  readonly direction: 'down' | 'up';
  readonly muted: boolean;
}

export interface ExpectedChange {
  /** Bar of the unit and change within the unit, both from 0. */
  readonly bar: number;
  readonly change: number;
  /** When the chord is due: its first stroke, or the change itself where no stroke is written. */
  readonly due: Seconds;
  /** The next change, or the end of the unit. */
  readonly until: Seconds;
  /** The chord before; null at the start, or after silence. */
  readonly from: ExpectedChord | null;
  /** Null is silence (N.C.), or a line: judged by onset alone. */
  readonly to: ExpectedChord | null;
  /** Names of both as they stand in the chart. */
  readonly names: { readonly from: string; readonly to: string };
  /** Does a written stroke bring it? Where none does, nothing can be held against a player who does not strike. */
  readonly struck: boolean;
  /** Is a sound due at all? Not where silence is written. */
  readonly sounds: boolean;
}

export interface Expectation {
  /** By time. */
  readonly changes: readonly ExpectedChange[];
  /** By time; the strokes of the whole unit. */
  readonly strokes: readonly ExpectedStroke[];
  /** By time; every click of the lap, count-in included. Clicks that were not heard do no harm. */
  readonly clicks: readonly KnownClick[];
  /** One beat at the tempo of the pass. */
  readonly beat: Seconds;
}

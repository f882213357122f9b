// What can be practised: how a unit is pointed at, and the plain bars it resolves to.
import type { Rational } from '../base/rational.ts';
import type { BandWords } from './band.ts';
import type { Chord } from './chord.ts';
import type { PhraseBar } from './lead.ts';
import type { ChordAt, Feel, Frets, Meter, StrumPattern, Tempo, Tuning } from './chart.ts';

/** How a unit is named inside its chart. Bars are counted from 1 as written in the section. */
export type UnitRef =
  | { readonly kind: 'section'; readonly section: string }
  | { readonly kind: 'bars'; readonly section: string; readonly from: number; readonly to: number }
  | { readonly kind: 'form' }
  /** The last `before` bars of form entry `entry` (0-based, repeats unrolled) into the first `after` bars of the next. */
  | {
      readonly kind: 'seam';
      readonly entry: number;
      readonly before: number;
      readonly after: number;
    }
  /** Two chords back and forth, with the beats they have at their first meeting in the chart. */
  | { readonly kind: 'pair'; readonly from: string; readonly to: string }
  /** A lead line, alone or with what stands around it: the climb is on one part of it. */
  | {
      readonly kind: 'line';
      readonly section: string;
      readonly line: string;
      readonly part: string;
      readonly reach: LineReach;
    }
  /** The hardest few changes of a section, each back and forth, the tightest first. */
  | { readonly kind: 'tightest'; readonly section: string }
  /** From one place in the unrolled form to another, both included (0-based entries). */
  | { readonly kind: 'stretch'; readonly fromEntry: number; readonly toEntry: number };

/** Only its own bars, one more bar on each side, or the whole section around it. */
export type LineReach = 'alone' | 'neighbours' | 'section';

/** One bar as it is played: nothing left to look up, repeats and similes unrolled. */
export interface PlayedBar {
  /** Where it is written. `bar` counts from 1; altered endings count on from the section's last bar. */
  readonly section: string;
  readonly bar: number;
  /** Which time through its section, from 1. */
  readonly time: number;
  readonly meter: Meter;
  readonly feel: Feel;
  readonly tempo: Tempo;
  /** Quarter notes; a pickup bar is shorter than its meter. */
  readonly length: Rational;
  readonly pickup: boolean;
  readonly strum?: StrumPattern;
  /** The chord already sounding when the bar starts, if no chord stands at 0. */
  readonly held?: Chord;
  /** Chord changes only: a chord repeated without a change is not listed twice. */
  readonly chords: readonly PlayedChord[];
  /** What lead lines play in this bar, one entry per part that can be played. */
  readonly lines?: readonly PlayedLine[];
  /** What the chart says of the band here. */
  readonly band?: BandWords;
}

/** A chord, read, from a moment in its bar until the next one. */
export interface PlayedChord {
  /** Quarter notes from the start of the bar, before swing. */
  readonly at: Rational;
  readonly chord: Chord;
  /** The teacher's pin: play it with this shape here. */
  readonly shape?: Frets;
}

/** A bar as the log keeps it: chords by their symbols, as they were typed. */
export interface LoggedBar extends Omit<PlayedBar, 'held' | 'chords'> {
  readonly held?: string;
  readonly chords: readonly ChordAt[];
}

export interface PlayedLine {
  readonly phrase: string;
  readonly part: string;
  readonly bar: PhraseBar;
}

export interface Unit {
  /** Stable within the chart, e.g. `section:Verse`, `bars:Verse:3-6`; see `unitKey`. */
  readonly key: string;
  readonly ref: UnitRef;
  /** For people, e.g. "Verse, bars 3–6". */
  readonly name: string;
  readonly bars: readonly PlayedBar[];
  /** Of the first bar; a rung's tempo replaces it and scales the others in proportion. */
  readonly tempo: Tempo;
  readonly tuning: Tuning;
  readonly capo: number;
  /** Hash of the bars' musical content only: equal bars give equal fingerprints across edits and names. */
  readonly fingerprint: string;
  /** The part of a lead line that is climbed; without it the chords are. */
  readonly line?: { readonly phrase: string; readonly part: string };
}

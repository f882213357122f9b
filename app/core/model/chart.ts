// What a chart is. Plain readonly data; `schema.ts` parses it at the border, `notation/` types and prints it.
import type { Rational } from '../base/rational.ts';
import type { BeatUnit, Bpm, Fret, Midi } from '../base/units.ts';
import type { BandWords } from './band.ts';
import type { NoteNames } from './chord.ts';
import type { Lead } from './lead.ts';

/** A tempo never travels without the note value it counts. */
export interface Tempo {
  readonly bpm: Bpm;
  readonly beat: BeatUnit;
}

/**
 * `numerator`/`unit` as printed; `grouping` adds up to the numerator.
 * With unit 2 or 4 every unit is a beat and groups only mark the secondary stress (5/4 as 3+2);
 * with unit 8 or 16 every group is one beat (6/8 as 3+3, 7/8 as 2+2+3). See `meter.ts`.
 */
export interface Meter {
  readonly numerator: number;
  readonly unit: 2 | 4 | 8 | 16;
  readonly grouping: readonly number[];
}

/** Swing delays the second of each pair of eighths or sixteenths: long:short, e.g. 2:1. */
export type Feel =
  | { readonly kind: 'straight' }
  | {
      readonly kind: 'swing';
      readonly value: 8 | 16;
      readonly long: number;
      readonly short: number;
    };

export interface Tuning {
  readonly name: string;
  /** Open strings from string 6 (lowest) to string 1 (highest): standard is 40 45 50 55 59 64. */
  readonly strings: readonly Midi[];
}

/** Frets from string 6 to string 1, as guitarists write them (x32010); null is a muted string. */
export type Frets = readonly (Fret | null)[];

/** A chord from a moment in its bar until the next chord. `symbol` is as typed; 'N.C.' is silence. */
export interface ChordAt {
  /** Quarter notes from the start of the bar, before swing. */
  readonly at: Rational;
  readonly symbol: string;
  /** The teacher's pin: play it with this shape here. */
  readonly shape?: Frets;
  /** The pin is meant so, though its notes are not the chord's. */
  readonly kept?: true;
  /** The hand slides into it along the strings, from a fret or two below. */
  readonly slide?: true;
  /** A word to the player, e.g. "little finger lifted"; one line. */
  readonly remark?: string;
}

export const STROKE_TOUCHES = ['short', 'damped'] as const;
export type StrokeTouch = (typeof STROKE_TOUCHES)[number];

export type StrumCell =
  | {
      readonly kind: 'stroke';
      readonly direction: 'down' | 'up';
      readonly accent: boolean;
      readonly muted: boolean;
      /** Let go at once (staccato), or muffled with the palm. Without it the strings ring on. */
      readonly touch?: StrokeTouch;
    }
  | { readonly kind: 'ring' }
  | { readonly kind: 'rest' };

/** A strum pattern; it repeats to fill a bar, or spans two bars. */
export interface StrumPattern {
  /** Cells per quarter note: 2 eighths, 3 triplets, 4 sixteenths. */
  readonly grid: 2 | 3 | 4;
  readonly cells: readonly StrumCell[];
}

/** One syllable of the words, in the order in which they are sung. */
export interface Syllable {
  readonly text: string;
  /** The word goes on in the next syllable, perhaps in the next bar. */
  readonly joined?: true;
  /** Where it is sung, in quarter notes from the start of the bar; without it, it follows the one before. */
  readonly at?: Rational;
}

/** What is sung in one bar in one verse. */
export type BarWords = readonly Syllable[];

/**
 * The tempo changes from this bar on: gradually up to the next mark or the section's end ('slower' is
 * a ritardando, 'faster' an accelerando), or back to the section's own tempo at once.
 */
export type PaceMark =
  | { readonly kind: 'slower' | 'faster'; /** The tempo it reaches. */ readonly to?: Bpm }
  | { readonly kind: 'a-tempo' };

/** A beat that is held: it lasts `extra` beats more than written. */
export interface Fermata {
  /** Start of the beat, in quarter notes from the start of the bar. */
  readonly at: Rational;
  readonly extra: number;
}

export type BarContent =
  /** Play the bar before this one again. */
  | { readonly kind: 'simile' }
  /** Chords in increasing `at`; empty means that the chord before goes on. */
  | { readonly kind: 'chords'; readonly chords: readonly ChordAt[] };

export interface Bar {
  readonly content: BarContent;
  /** The meter changes here and holds to the end of the section. */
  readonly meter?: Meter;
  /** Only a section's first bar: it is shorter than its meter and lasts this many quarter notes. */
  readonly pickup?: Rational;
  readonly repeatStart?: true;
  /** How many times the repeated bars are played in all (2 or more). */
  readonly repeatEnd?: number;
  /** A first, second … ending starts here: the times it is played on. */
  readonly endings?: readonly number[];
  readonly strum?: StrumPattern;
  readonly pace?: PaceMark;
  readonly fermata?: Fermata;
  /** Verse 1 first; an empty list where a verse has nothing to sing. */
  readonly words?: readonly BarWords[];
  /** A word to the player about this bar; one line. */
  readonly remark?: string;
  /** The writer's own notes above the bar; nobody else sees them. */
  readonly comments?: readonly string[];
}

/** Bars taken over from a section above: all of them, or those from one to another (counted as written, from 1). */
export interface Borrowed {
  readonly section: string;
  readonly from?: number;
  readonly to?: number;
}

export interface Section {
  /** Unique within the chart; it is the section's identity. */
  readonly name: string;
  /** Where they differ from the chart's. */
  readonly tempo?: Tempo;
  readonly meter?: Meter;
  readonly feel?: Feel;
  readonly strum?: StrumPattern;
  /** How the band plays here; each word stands above the chart's. */
  readonly band?: BandWords;
  /** The section its bars come from. `bars` has them all, with what is different here. */
  readonly like?: Borrowed;
  readonly bars: readonly Bar[];
  /** Words to the player about the whole section; one line each. */
  readonly remarks?: readonly string[];
  readonly comments?: readonly string[];
  /** Lead lines played over some of its bars. */
  readonly leads?: readonly Lead[];
}

/** Bars that replace the last bars of, or are added after, the last time through. */
export interface AlteredEnding {
  readonly kind: 'replace' | 'add';
  readonly bars: readonly Bar[];
}

export interface FormEntry {
  readonly section: string;
  readonly times: number;
  readonly ending?: AlteredEnding;
  readonly comments?: readonly string[];
}

/** A line at the head that the program only keeps, e.g. "album: …"; names may come twice. */
export interface FreeField {
  readonly name: string;
  readonly value: string;
}

/** A note above a line at the head ("tempo", "shape Bm", "album"), above the form, or at the end. */
export interface HeadComment {
  readonly before: string;
  readonly text: string;
}

/** A chord's shape for the whole chart. */
export interface ChartShape {
  readonly symbol: string;
  readonly frets: Frets;
  /** Meant so, though its notes are not the chord's. */
  readonly kept?: true;
}

export interface Chart {
  readonly id: string;
  readonly title: string;
  /** Who wrote it. */
  readonly by?: string;
  /** How its text and every screen name notes, where not internationally; the symbols here always are international. */
  readonly names?: Exclude<NoteNames, 'international'>;
  readonly tempo: Tempo;
  readonly meter: Meter;
  readonly feel: Feel;
  /** Key as typed ("G", "F♯ minor"); used for spelling and numerals. */
  readonly key?: string;
  /** 0 is no capo. Chord symbols are fingered names, relative to the capo. */
  readonly capo: Fret;
  readonly tuning: Tuning;
  readonly shapes: readonly ChartShape[];
  /** How the band plays. */
  readonly band?: BandWords;
  readonly fields?: readonly FreeField[];
  readonly comments?: readonly HeadComment[];
  readonly sections: readonly Section[];
  readonly form: readonly FormEntry[];
}

/** What is typed: a chart without the identity the library gives it. */
export type ChartBody = Omit<Chart, 'id'>;

// What a chart is. Plain readonly data; `schema.ts` parses it at the border, `notation/` types and prints it.
import type { Rational } from '../base/rational.ts';
import type { BeatUnit, Bpm, Fret, Midi } from '../base/units.ts';
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
}

export type StrumCell =
  | {
      readonly kind: 'stroke';
      readonly direction: 'down' | 'up';
      readonly accent: boolean;
      readonly muted: boolean;
    }
  | { readonly kind: 'ring' }
  | { readonly kind: 'rest' };

/** A strum pattern over whole quarter-note lengths; it repeats to fill a bar. */
export interface StrumPattern {
  /** Cells per quarter note: 2 eighths, 3 triplets, 4 sixteenths. */
  readonly grid: 2 | 3 | 4;
  readonly cells: readonly StrumCell[];
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
}

export interface Section {
  /** Unique within the chart; it is the section's identity. */
  readonly name: string;
  /** Where they differ from the chart's. */
  readonly tempo?: Tempo;
  readonly meter?: Meter;
  readonly feel?: Feel;
  readonly strum?: StrumPattern;
  readonly bars: readonly Bar[];
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
}

/** A chord's shape for the whole chart. */
export interface ChartShape {
  readonly symbol: string;
  readonly frets: Frets;
}

export interface Chart {
  readonly id: string;
  readonly title: string;
  readonly tempo: Tempo;
  readonly meter: Meter;
  readonly feel: Feel;
  /** Key as typed ("G", "F♯ minor"); used for spelling and numerals. */
  readonly key?: string;
  /** 0 is no capo. Chord symbols are fingered names, relative to the capo. */
  readonly capo: Fret;
  readonly tuning: Tuning;
  readonly shapes: readonly ChartShape[];
  readonly sections: readonly Section[];
  readonly form: readonly FormEntry[];
}

/** What is typed: a chart without the identity the library gives it. */
export type ChartBody = Omit<Chart, 'id'>;

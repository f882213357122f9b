// What a lead line is: a short line played over bars of a section, in one or more guitar parts.
import { mul, rational, type Rational } from '../base/rational.ts';
import type { Fret, StringNo } from '../base/units.ts';

/** A written note value: 1 whole … 16 sixteenth, dotted or as a triplet, never both. */
export interface NoteValue {
  readonly of: 1 | 2 | 4 | 8 | 16;
  readonly shape: 'plain' | 'dotted' | 'triplet';
}

/** How a note is reached from the one before it on its string. */
export const JOININGS = ['hammer-on', 'pull-off', 'slide-up', 'slide-down'] as const;
export const REACHES = ['picked', ...JOININGS] as const;
export type Reach = (typeof REACHES)[number];

/** A bend in semitones above the fretted pitch: half, whole or one and a half steps. */
export interface Bend {
  readonly semitones: 1 | 2 | 3;
  readonly release: boolean;
}

/** A note without time of its own just before the main one, on the same string. */
export interface Grace {
  readonly fret: Fret;
  /** How the main note is reached from it. */
  readonly into: Exclude<Reach, 'picked'>;
}

export interface LeadNote {
  readonly string: StringNo;
  /** 'muted' is a dead note: a click of the string without pitch. */
  readonly fret: Fret | 'muted';
  readonly reach: Reach;
  /** Only on a picked note: the grace note is picked and leads into it. */
  readonly grace?: Grace;
  readonly bend?: Bend;
  readonly vibrato?: true;
  readonly ring?: true;
}

/** One moment of a part. A hold ties what sounds before it on, also across a bar line. */
export type LeadEvent =
  | { readonly kind: 'notes'; readonly value: NoteValue; readonly notes: readonly LeadNote[] }
  | { readonly kind: 'hold'; readonly value: NoteValue }
  | { readonly kind: 'rest'; readonly value: NoteValue };

export interface LeadBar {
  readonly events: readonly LeadEvent[];
}

/** How a derived part follows its source. Thirds and sixths are those of the chart's key. */
export type Derivation =
  | { readonly kind: 'octave'; readonly direction: 'up' | 'down' }
  | { readonly kind: 'scale'; readonly interval: 3 | 6; readonly direction: 'up' | 'down' };

export type LeadPart =
  | { readonly kind: 'written'; readonly name: string; readonly bars: readonly LeadBar[] }
  | {
      readonly kind: 'derived';
      readonly name: string;
      readonly from: string;
      readonly by: Derivation;
    };

export interface Lead {
  /** Unique within its section. */
  readonly name: string;
  /** First bar of the section that it is played over, from 1. */
  readonly bar: number;
  /** Further bars at which it is played again, rising. */
  readonly again?: readonly number[];
  readonly parts: readonly LeadPart[];
}

/** Length of a note value in quarter notes. */
export function valueLength(value: NoteValue): Rational {
  const plain = rational(4, value.of);
  if (value.shape === 'dotted') return mul(plain, rational(3, 2));
  if (value.shape === 'triplet') return mul(plain, rational(2, 3));
  return plain;
}

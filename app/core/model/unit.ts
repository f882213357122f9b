// What can be practised: how a unit is pointed at, and the plain bars it resolves to.
import type { Rational } from '../base/rational.ts';
import type { BandWords } from './band.ts';
import type { Chord } from './chord.ts';
import type { LeadBar } from './lead.ts';
import type {
  BarWords,
  ChordAt,
  Feel,
  Frets,
  Meter,
  StrumPattern,
  Tempo,
  Tuning,
} from './chart.ts';

/**
 * What points at each kind of unit inside its chart: the one list of kinds, which schemas, keys and choosers follow.
 * Bars are counted from 1 as written in the section; entries of the unrolled form from 0.
 */
interface UnitPlaces {
  section: { readonly section: string };
  bars: { readonly section: string; readonly from: number; readonly to: number };
  form: object;
  /** The last `before` bars of form entry `entry` into the first `after` bars of the next. */
  join: { readonly entry: number; readonly before: number; readonly after: number };
  /** Two chords back and forth, with the beats they have at their first meeting in the chart. */
  pair: { readonly from: string; readonly to: string };
  /** A lead, alone or with what stands around it: the climb is on one part of it. */
  lead: {
    readonly section: string;
    readonly lead: string;
    readonly part: string;
    readonly reach: LeadReach;
  };
  /** The hardest few changes of a section, each back and forth, the hardest first. */
  hardest: { readonly section: string };
  /** From one place in the unrolled form to another, both included. */
  stretch: { readonly fromEntry: number; readonly toEntry: number };
}

export type UnitKind = keyof UnitPlaces;

/** How a unit is pointed at; `UnitRef<'join'>` is one kind of it. */
export type UnitRef<K extends UnitKind = UnitKind> = {
  [P in K]: { readonly kind: P } & UnitPlaces[P];
}[K];

/** Only its own bars, one more bar on each side, or the whole section around it. */
export const LEAD_REACHES = ['alone', 'neighbours', 'section'] as const;
export type LeadReach = (typeof LEAD_REACHES)[number];

/** A section that usually stands out (chorus) or leads in and out (edge: intro, outro, interlude). */
export type SectionRole = 'chorus' | 'edge';

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
  /** What leads play in this bar, one entry per part that can be played. */
  readonly leads?: readonly PlayedLead[];
  /** What the chart says of the band here. */
  readonly band?: BandWords;
  /** Where the tempo of this bar is not `tempo` throughout: stretches in order, the first at 0. */
  readonly pace?: readonly PaceStretch[];
  /** What is sung here this time round. */
  readonly words?: BarWords;
  /** What its section is in the song; absent for a verse or anything else. */
  readonly role?: SectionRole;
  /** What the player is told at this bar; chords carry their own. */
  readonly remark?: string;
  /** What the bar is counted as where that is not `bar`: a pickup is 0, and bar 1 follows it. */
  readonly number?: number;
}

/** From `at` (quarter notes from the start of the bar) on, the tempo is `rate` times the bar's own. */
export interface PaceStretch {
  readonly at: Rational;
  readonly rate: number;
}

/** A chord, read, from a moment in its bar until the next one. */
export interface PlayedChord {
  /** Quarter notes from the start of the bar, before swing. */
  readonly at: Rational;
  readonly chord: Chord;
  /** The teacher's pin: play it with this shape here. */
  readonly shape?: Frets;
  /** The hand slides into it. */
  readonly slide?: true;
  /** A word to the player. */
  readonly remark?: string;
}

/** A bar as the log keeps it: chords by their symbols, as they were typed. */
export interface LoggedBar extends Omit<PlayedBar, 'held' | 'chords' | 'words' | 'remark'> {
  readonly held?: string;
  readonly chords: readonly ChordAt[];
}

/** A change of a unit at which a pass can break; in a lead line a bar, without chord names. */
export interface BreakPlace {
  /** Bar of the unit and change within the unit, both from 0. */
  readonly bar: number;
  readonly change: number;
  /** Fingered names, as in the chart. */
  readonly from: string;
  readonly to: string;
}

export interface PlayedLead {
  readonly lead: string;
  readonly part: string;
  readonly bar: LeadBar;
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
  /** How its chart names notes, where not internationally. */
  readonly names?: 'german';
  /** Hash of the bars' musical content only: equal bars give equal fingerprints across edits and names. */
  readonly fingerprint: string;
  /** The part of a lead that is climbed; without it the chords are. */
  readonly lead?: { readonly lead: string; readonly part: string };
}

// What a drawn bar of tab shows, worked out once: numbers on lines, techniques between them, stems below.
import { beatsOf } from '../../../app/core/rhythm/meter.ts';
import type { Meter } from '../../../app/core/model/chart.ts';
import {
  valueLength,
  type Bend,
  type NoteValue,
  type LeadBar,
  type LeadEvent,
  type LeadNote,
  type Reach,
} from '../../../app/core/model/lead.ts';
import { add, compare, toNumber, ZERO, type Rational } from '../../../app/core/base/rational.ts';
import type { Finger, Share, StringNo } from '../../../app/core/base/units.ts';

export interface DrawnNote {
  readonly at: Share;
  readonly string: StringNo;
  /** The fret, or × for a muted note. */
  readonly text: string;
  readonly grace?: string;
  readonly finger?: Finger;
  /** "½", "1" or "1½", with an arrow; released bends come down again. */
  readonly bend?: string;
  readonly release: boolean;
  readonly vibrato: boolean;
  readonly ring: boolean;
}

/** A sign between two numbers on one string; `from` is 0 where it comes from the bar before. */
export interface DrawnLink {
  readonly from: Share;
  readonly to: Share;
  readonly string: StringNo;
  readonly kind: Exclude<Reach, 'picked'>;
}

export interface DrawnStem {
  readonly at: Share;
  readonly rest: boolean;
  readonly held: boolean;
  readonly value: NoteValue;
  /** A dot, or the 3 under the middle of three triplets. */
  readonly mark: '' | '.' | '3';
}

/** Stems joined by a beam: all within one beat and shorter than a quarter note. */
export interface DrawnBeam {
  readonly from: Share;
  readonly to: Share;
  readonly level: 1 | 2;
}

export interface DrawnTab {
  readonly notes: readonly DrawnNote[];
  readonly links: readonly DrawnLink[];
  readonly stems: readonly DrawnStem[];
  readonly beams: readonly DrawnBeam[];
  /** The bar in words: "string 3, fret 7, pull off to 5". */
  readonly spoken: string;
}

interface Moment {
  readonly event: LeadEvent;
  readonly start: Rational;
  readonly at: Share;
  readonly fingers: readonly (Finger | undefined)[];
}

const BEND_WORDS: Record<Bend['semitones'], string> = { 1: '½', 2: '1', 3: '1½' };

/** Room before the first and after the last number, so that none touches a bar line. */
const MARGIN: Share = 0.04;

/** @param length The bar's length in quarter notes; @param fingers one list per event, as the fingering gives them. */
export function drawnTab(
  bar: LeadBar,
  meter: Meter,
  length: Rational,
  fingers: readonly (readonly (Finger | undefined)[])[] = [],
): DrawnTab {
  const moments = placeMoments(bar, length, fingers);
  return {
    notes: moments.flatMap(drawnNotes),
    links: moments.flatMap((moment, i) => drawnLinks(moment, moments.slice(0, i))),
    stems: moments.map((moment, i) => drawnStem(moment, markOf(moments, i))),
    beams: drawnBeams(moments, meter),
    spoken: moments.map(inWords).join('; '),
  };
}

function placeMoments(
  bar: LeadBar,
  length: Rational,
  fingers: readonly (readonly (Finger | undefined)[])[],
): Moment[] {
  let start = ZERO;
  return bar.events.map((event, i) => {
    const share = toNumber(start) / toNumber(length);
    const moment = { event, start, at: MARGIN + share * (1 - MARGIN), fingers: fingers[i] ?? [] };
    start = add(start, valueLength(event.value));
    return moment;
  });
}

function drawnNotes({ event, at, fingers }: Moment): DrawnNote[] {
  if (event.kind !== 'notes') return [];
  return event.notes.map((note, i) => ({
    at,
    string: note.string,
    text: note.fret === 'muted' ? '×' : String(note.fret),
    ...(note.grace && { grace: String(note.grace.fret) }),
    ...(fingers[i] !== undefined && { finger: fingers[i] }),
    ...(note.bend && { bend: BEND_WORDS[note.bend.semitones] }),
    release: note.bend?.release ?? false,
    vibrato: note.vibrato ?? false,
    ring: note.ring ?? false,
  }));
}

function drawnLinks({ event, at }: Moment, before: readonly Moment[]): DrawnLink[] {
  if (event.kind !== 'notes') return [];
  return event.notes.flatMap((note) => {
    if (note.reach === 'picked') return [];
    const source = before.findLast(
      (m) => m.event.kind === 'notes' && m.event.notes.some((n) => n.string === note.string),
    );
    return [{ from: source?.at ?? 0, to: at, string: note.string, kind: note.reach }];
  });
}

const drawnStem = ({ event, at }: Moment, mark: DrawnStem['mark']): DrawnStem => ({
  at,
  rest: event.kind === 'rest',
  held: event.kind === 'hold',
  value: event.value,
  mark,
});

function markOf(moments: readonly Moment[], index: number): DrawnStem['mark'] {
  const shapeAt = (i: number) => moments[i]?.event.value.shape;
  if (shapeAt(index) === 'dotted') return '.';
  if (shapeAt(index) !== 'triplet') return '';
  let first = index;
  while (shapeAt(first - 1) === 'triplet') first--;
  return (index - first) % 3 === 1 ? '3' : '';
}

function drawnBeams(moments: readonly Moment[], meter: Meter): DrawnBeam[] {
  const starts = beatsOf(meter).map((beat) => beat.at);
  const beatOf = (moment: Moment): number =>
    starts.findLastIndex((start) => compare(start, moment.start) <= 0);
  const pairs = moments.slice(1).map((to, i) => ({ from: moments[i]!, to }));
  return pairs.flatMap(({ from, to }) => {
    if (from.event.kind === 'rest' || to.event.kind === 'rest') return [];
    const shared = Math.min(flags(from.event.value), flags(to.event.value));
    if (shared === 0 || beatOf(from) !== beatOf(to)) return [];
    const beam = { from: from.at, to: to.at };
    return shared === 2
      ? [
          { ...beam, level: 1 as const },
          { ...beam, level: 2 as const },
        ]
      : [{ ...beam, level: 1 as const }];
  });
}

/** Flags or beams of a note value: one for eighths, two for sixteenths. */
const flags = (value: NoteValue): number => (value.of === 8 ? 1 : value.of === 16 ? 2 : 0);

function inWords({ event }: Moment): string {
  if (event.kind === 'rest') return 'rest';
  if (event.kind === 'hold') return 'held';
  return event.notes.map(noteInWords).join(' with ');
}

const REACH_WORDS: Record<Reach, string> = {
  picked: '',
  'hammer-on': 'hammer on to ',
  'pull-off': 'pull off to ',
  'slide-up': 'slide up to ',
  'slide-down': 'slide down to ',
};

function noteInWords(note: LeadNote): string {
  const fret = note.fret === 'muted' ? 'muted' : `fret ${note.fret}`;
  const head =
    note.reach === 'picked'
      ? `string ${note.string}, ${note.grace ? `grace fret ${note.grace.fret} to ` : ''}${fret}`
      : REACH_WORDS[note.reach] + (note.fret === 'muted' ? 'muted' : note.fret);
  const bend = note.bend && `bend ${BEND_WORDS[note.bend.semitones]} step`;
  const extras = [
    bend && (note.bend?.release ? `${bend} and release` : bend),
    note.vibrato && 'vibrato',
    note.ring && 'let ring',
  ];
  return [head, ...extras.filter(Boolean)].join(', ');
}

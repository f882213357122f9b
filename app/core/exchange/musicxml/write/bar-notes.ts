// Lays out a bar as notes for slash notation: one for each beat, or the rhythm of its strum with ties at the beats.
import {
  type Rational,
  add,
  compare,
  equals,
  rational,
  sub,
  toNumber,
  ZERO,
} from '../../../base/rational.ts';
import { barLength, beatsOf } from '../../../rhythm/meter.ts';
import type { StrumPattern } from '../../../model/chart.ts';
import type { NoteValue } from '../../../model/lead.ts';
import { valueLength } from '../../../model/lead.ts';
import { SILENCE } from '../../../chart/rules/head.ts';
import { slotsOf } from '../../../rhythm/slots.ts';
import type { BarStroke } from '../../../rhythm/strum.ts';
import { valueOfLength, valuesFor } from '../note-values.ts';
import type { SheetBar } from '../sheet.ts';
import { NOTHING_BEFORE, type PaperBefore, chordAt, strokesOnPaper } from '../strum-paper.ts';

type Stroke = Extract<BarStroke['cell'], { kind: 'stroke' }>;

/** One sign on the staff. */
export interface BarNote {
  /** Quarter notes from the start of the bar. */
  readonly at: Rational;
  readonly length: Rational;
  /** Undefined for a length that no single note has. */
  readonly value?: NoteValue;
  /** A beat without a rhythm of its own, a stroke, a stroke that goes on, or a rest. */
  readonly kind: 'beat' | 'stroke' | 'hold' | 'rest';
  readonly stroke?: Stroke;
  /** Does it go on in the next note? */
  readonly ties: boolean;
  /** Notes of one beam group share it: the beat in which they stand. */
  readonly beat: number;
}

/** Every bar's notes, with ties across bar lines known. */
export function notesOfBars(bars: readonly SheetBar[]): readonly (readonly BarNote[])[] {
  let before = NOTHING_BEFORE;
  const alike = new AlikeBars();
  const laid = bars.map((bar) => {
    const notes = alike.notesOf(bar, before);
    before = {
      chord: chordAt(bar, before, bar.length),
      silent: notes.at(-1)!.kind === 'rest',
    };
    return notes;
  });
  return laid.map((notes, i) =>
    laid[i + 1]?.[0]?.kind === 'hold'
      ? [...notes.slice(0, -1), { ...notes.at(-1)!, ties: true }]
      : notes,
  );
}

/** Most bars of a song are strummed alike: each kind is laid out once, and is then one and the same list. */
class AlikeBars {
  private readonly known = new Map<
    StrumPattern | undefined,
    Map<SheetBar['meter'], Map<string, readonly BarNote[]>>
  >();

  notesOf(bar: SheetBar, before: PaperBefore): readonly BarNote[] {
    const ofStrum = made(this.known, bar.strum, () => new Map());
    const ofMeter = made(ofStrum, bar.meter, () => new Map<string, readonly BarNote[]>());
    return made(ofMeter, rhythmKey(bar, before), () =>
      bar.strum ? strummed(bar, bar.strum, before) : plain(bar, before),
    );
  }
}

function made<K, V>(known: Map<K, V>, key: K, make: () => V): V {
  const there = known.get(key);
  if (there !== undefined) return there;
  const now = make();
  known.set(key, now);
  return now;
}

/** All that the notes of a bar follow from, beside its strum and meter. */
function rhythmKey({ length, pickup, chords }: SheetBar, before: PaperBefore): string {
  let key = `${length.n}/${length.d}${pickup ? 'p' : ''}`;
  if (before.silent) key += 's';
  if (before.chord === SILENCE) key += '-';
  for (const { at, symbol } of chords) key += ` ${at.n}/${at.d}${symbol === SILENCE ? '-' : ''}`;
  return key;
}

/** A slash on each beat, a rest where nothing sounds. */
const plain = (bar: SheetBar, before: PaperBefore): BarNote[] =>
  slotsOf(bar.meter, bar.pickup ? bar.length : undefined).map(({ at, length }, beat) => {
    const value = valueOfLength(length);
    const kind = chordAt(bar, before, at) === SILENCE ? 'rest' : 'beat';
    return { at, length, ...(value && { value }), kind, ties: false, beat };
  });

/** From one stroke to the next, cut where beats start so that every beat can be seen. */
function strummed(bar: SheetBar, strum: StrumPattern, before: PaperBefore): BarNote[] {
  const strokes = strokesOnPaper(bar, strum, before);
  const beats = beatStarts(bar, strum);
  const first = strokes[0]?.at ?? bar.length;
  const lead = before.silent ? ('rest' as const) : ('hold' as const);
  return [
    ...(first.n > 0 ? spanNotes(ZERO, first, beats, { first: lead, later: lead }) : []),
    ...strokes.flatMap(({ at, cell }, i) => {
      const end = strokes[i + 1]?.at ?? bar.length;
      return cell.kind === 'rest'
        ? spanNotes(at, end, beats, { first: 'rest', later: 'rest' })
        : spanNotes(at, end, beats, { first: 'stroke', later: 'hold', stroke: cell });
    }),
  ];
}

/** Starts of beats, and the end of the last. Triplets are read by quarters, whatever beat the meter has. */
function beatStarts({ meter, length }: SheetBar, { grid }: StrumPattern): readonly Rational[] {
  const full = barLength(meter);
  const offset = sub(full, length);
  const starts =
    grid === 3
      ? Array.from({ length: Math.ceil(toNumber(full)) }, (_, i) => rational(i))
      : beatsOf(meter).map(({ at }) => at);
  return [...starts.map((at) => sub(at, offset)).filter(({ n }) => n >= 0), length];
}

interface SpanKinds {
  readonly first: BarNote['kind'];
  readonly later: BarNote['kind'];
  readonly stroke?: Stroke;
}

function spanNotes(
  from: Rational,
  to: Rational,
  beats: readonly Rational[],
  { first, later, stroke }: SpanKinds,
): BarNote[] {
  const pieces = cutAtBeats(from, to, beats).flatMap(([a, b]) => piecesBetween(a, b));
  return pieces.map((piece, i): BarNote => {
    const kind = i === 0 ? first : later;
    return {
      ...piece,
      kind,
      ...(stroke && { stroke }),
      ties: kind !== 'rest' && i < pieces.length - 1,
      beat: beats.filter((start) => compare(start, piece.at) <= 0).length,
    };
  });
}

type Piece = Pick<BarNote, 'at' | 'length' | 'value'>;

/** Whole beats stay together; what stands before the first and after the last beat line stands apart. */
function cutAtBeats(
  from: Rational,
  to: Rational,
  beats: readonly Rational[],
): readonly (readonly [Rational, Rational])[] {
  const inside = beats.filter((at) => compare(at, from) >= 0 && compare(at, to) <= 0);
  const cuts = [from, ...inside.slice(0, 1), ...inside.slice(-1), to];
  return cuts.flatMap((at, i) => {
    const next = cuts[i + 1];
    return next && !equals(at, next) ? [[at, next] as const] : [];
  });
}

/** One note, or several that make the length together; without a value where no notes do. */
function piecesBetween(from: Rational, to: Rational): readonly Piece[] {
  const length = sub(to, from);
  const single = valueOfLength(length);
  const values = single ? [single] : valuesFor(length);
  if (!values) return [{ at: from, length }];
  let at = from;
  return values.map((value) => {
    const piece = { at, length: valueLength(value), value };
    at = add(at, piece.length);
    return piece;
  });
}

// What one measure of a score says by itself, while it is read.
import { type Rational, compare, equals } from '../../../base/rational.ts';
import type { ChordAt, Fermata, Meter, PaceMark } from '../../../model/chart.ts';
import { MAX_FERMATA, MAX_REMARK } from '../../../model/limits.ts';
import { slotsOf } from '../../../rhythm/slots.ts';
import type { BarJumps } from '../jump-signs.ts';
import type { RhythmNote } from './strum.ts';

/** What one measure says by itself. */
export interface Measure {
  readonly name: string;
  cursor: Rational;
  end: Rational;
  heading?: string;
  readonly chords: ChordAt[];
  readonly rhythm: RhythmNote[];
  repeatStart: boolean;
  repeatEnd?: number;
  endings?: readonly number[];
  jumps: BarJumps;
  fineAt?: Rational;
  afterJump?: true;
  remark?: string;
  readonly sectionRemarks: string[];
  pace?: PaceMark;
  fermata?: Fermata;
  /** Told below the staff: of the next chord, or of the bar where none follows. */
  chordRemark?: string;
  readonly slidInto: Rational[];
}

/** Only at the end of the measure is it known whether anything follows its Fine. */
export const jumpsOf = ({ jumps, fineAt, end }: Measure): BarJumps =>
  fineAt && compare(fineAt, end) >= 0 ? { ...jumps, fine: 'at the end' } : jumps;

/** Both in one line, parted by a semicolon and cut to what a remark may have; undefined where there is neither. */
export function joinedRemark(
  first: string | undefined,
  second: string | undefined,
): string | undefined {
  const both = [first, second].filter((text) => text !== undefined);
  return both.length === 0 ? undefined : both.join('; ').slice(0, MAX_REMARK).trim();
}

/** The chords of a measure, marked where a slide leads into them. */
export const withSlides = ({ chords, slidInto }: Measure): readonly ChordAt[] =>
  chords.map((chord) =>
    slidInto.some((at) => equals(at, chord.at)) ? { ...chord, slide: true as const } : chord,
  );

/** Only a beat of the bar is held, and not for longer than charts can say. */
export function fermataIn(
  { fermata }: Measure,
  meter: Meter,
  pickup: Rational | undefined,
): Fermata | undefined {
  const beat = fermata && slotsOf(meter, pickup).find(({ at }) => equals(at, fermata.at));
  return beat && { at: beat.at, extra: Math.min(MAX_FERMATA, Math.max(1, fermata.extra)) };
}

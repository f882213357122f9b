// The note values that make up a length: one, several in a row, or one of a tuplet. Readers want a value at every note.
import { type Rational, compare, mul, rational, sub, toNumber } from '../../../base/rational.ts';
import { valueLength } from '../../../model/lead.ts';
import { isCompound } from '../../../rhythm/meter.ts';
import { tupletElements, valueElements, valueOfLength, valuesFor } from '../note-values.ts';
import type { SheetBar } from '../sheet.ts';
import { type XmlElement, element } from '../xml-write.ts';

export interface Piece {
  readonly length: Rational;
  /** type, dots and time-modification. */
  readonly signs: readonly XmlElement[];
}

/** Note values that last `length` quarter notes together, to be tied; a tuplet where no plain ones do. */
export function piecesOf(length: Rational): readonly Piece[] {
  const value = valueOfLength(length);
  if (value) return [{ length, signs: valueElements(value) }];
  const values = valuesFor(length);
  if (!values) return [{ length, signs: tupletElements(length) }];
  return values.map((one) => ({ length: valueLength(one), signs: valueElements(one) }));
}

/** The whole bar rests; a pickup, which is no whole bar of its meter, in rests of its length. */
export function restOfBar(bar: SheetBar, divisions: number): readonly XmlElement[] {
  const whole: readonly Piece[] = [{ length: bar.length, signs: [] }];
  return (bar.pickup ? pickupRests(bar) : whole).map(({ length, signs }) =>
    element('note', [
      element('rest', [], bar.pickup ? {} : { measure: 'yes' }),
      element('duration', toNumber(mul(length, rational(divisions)))),
      element('voice', 1),
      ...signs,
    ]),
  );
}

/**
 * Shortest first, since a pickup ends where a beat begins. None is a whole rest: readers take that for a whole bar
 * (music21 10.5 does), and so do people (common practice, no source).
 */
function pickupRests({ length, meter }: Pick<SheetBar, 'length' | 'meter'>): readonly Piece[] {
  if (compare(length, rational(4)) < 0) return piecesOf(length).toReversed();
  const half = isCompound(meter) ? rational(3) : rational(2);
  return [...pickupRests({ length: sub(length, half), meter }), ...piecesOf(half)];
}

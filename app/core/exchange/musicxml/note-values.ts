// Note values of lead lines to and from MusicXML's types, dots and triplets.
import { type Rational, compare, div, equals, rational, sub } from '../../base/rational.ts';
import { type NoteValue, valueLength } from '../../model/lead.ts';
import { type XmlNode, childAt, childrenOf, numberAt, textAt } from './xml-read.ts';
import { type XmlElement, element } from './xml-write.ts';

const TYPES: Record<NoteValue['of'], string> = {
  1: 'whole',
  2: 'half',
  4: 'quarter',
  8: 'eighth',
  16: '16th',
};

/** type, dot and time-modification, in the order in which a note has them. */
export const valueElements = ({ of, shape }: NoteValue): readonly XmlElement[] => [
  element('type', TYPES[of]),
  ...(shape === 'dotted' ? [element('dot')] : []),
  ...(shape === 'triplet' ? [TRIPLET] : []),
];

const TRIPLET = element('time-modification', [
  element('actual-notes', 3),
  element('normal-notes', 2),
]);

/** Undefined for shorter notes, double dots and other tuplets, which lead lines do not have. */
export function valueOf(note: XmlNode): NoteValue | undefined {
  const type = textAt(note, 'type');
  const of = ([1, 2, 4, 8, 16] as const).find((value) => TYPES[value] === type);
  const dots = childrenOf(note, 'dot').length;
  const tuplet = childAt(note, 'time-modification');
  if (!of || dots > 1 || (dots === 1 && tuplet)) return undefined;
  if (!tuplet) return { of, shape: dots === 1 ? 'dotted' : 'plain' };
  const triplet = numberAt(tuplet, 'actual-notes') === 3 && numberAt(tuplet, 'normal-notes') === 2;
  return triplet ? { of, shape: 'triplet' } : undefined;
}

/** Longest first, so that a rest is written with few signs. */
const VALUES: readonly NoteValue[] = ([1, 2, 4, 8, 16] as const).flatMap((of) => [
  { of, shape: 'dotted' as const },
  { of, shape: 'plain' as const },
]);

/** The value of just that length, or several that make it; undefined when none do. */
export function valuesFor(length: Rational): readonly NoteValue[] | undefined {
  const values: NoteValue[] = [];
  let left = length;
  while (left.n > 0) {
    const next = VALUES.find((value) => compare(valueLength(value), left) <= 0);
    if (!next || values.length > MOST_VALUES) return undefined;
    values.push(next);
    left = sub(left, valueLength(next));
  }
  return values;
}

/** The longest bar, 24/2, has eight dotted whole notes. */
const MOST_VALUES = 16;

/** type and time-modification of a note that is so many parts of the next longer value: 4/5 is a quarter, five for four. */
export function tupletElements(length: Rational): readonly XmlElement[] {
  const of = ([16, 8, 4, 2] as const).find((one) => compare(rational(4, one), length) >= 0) ?? 1;
  const share = div(length, rational(4, of));
  return [
    element('type', TYPES[of]),
    element('time-modification', [
      element('actual-notes', share.d),
      element('normal-notes', share.n),
    ]),
  ];
}

/** The single value of that length, triplets included. */
export const valueOfLength = (length: Rational): NoteValue | undefined =>
  [...VALUES, ...([1, 2, 4, 8, 16] as const).map((of) => ({ of, shape: 'triplet' as const }))].find(
    (value) => equals(valueLength(value), length),
  );

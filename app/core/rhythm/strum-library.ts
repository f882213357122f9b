// General strum patterns, named by what the hand does: a start for a section, not a style of anyone's.
import { div, equals } from '../base/rational.ts';
import { unwrap } from '../base/result.ts';
import type { Feel, Meter, StrumPattern } from '../model/chart.ts';
import { barLength, beatsOf } from './meter.ts';
import { parseStrum, strumLength } from './strum.ts';

export interface NamedStrum {
  readonly name: string;
  /** The length a bar should have for the name to be true, in quarter notes. */
  readonly quarters: Quarters;
  readonly pattern: StrumPattern;
}

type Quarters = 2 | 3 | 3.5 | 4 | 5;

/** All patterns are our own wording of common practice (no source). */
const TABLE: readonly (readonly [name: string, quarters: Quarters, text: string])[] = [
  ['quarters, all down', 4, 'eighths D- D- D- D-'],
  ['quarters, accents on 2 and 4', 4, 'eighths D- D>- D- D>-'],
  ['quarters, muted on 2 and 4', 4, 'eighths D- Dx- D- Dx-'],
  ['eighths, all down', 4, 'eighths DD DD DD DD'],
  ['eighths, down and up', 4, 'eighths DU DU DU DU'],
  ['eighths, accents on 2 and 4', 4, 'eighths DU D>U DU D>U'],
  ['eighths, accents on the off-beats', 4, 'eighths DU> DU> DU> DU>'],
  ['eighths, off-beats only', 4, 'eighths rU rU rU rU'],
  ['eighths, no stroke on 3', 4, 'eighths D- DU -U DU'],
  ['eighths, ups after 2 and 4', 4, 'eighths D- DU D- DU'],
  ['eighths in three, all down on the beats', 3, 'eighths D- D- D-'],
  ['eighths in three, ups after 2 and 3', 3, 'eighths D- DU DU'],
  ['eighths in six, all down, accents on 1 and 4', 3, 'eighths D>DD D>DD'],
  ['eighths in six, down-up with accents on 1 and 4', 3, 'eighths D>UD U>DU'],
  ['eighths in six, one stroke to a beat', 3, 'eighths D-- D--'],
  ['eighths in six, ups before the beats', 3, 'eighths D-U D-U'],
  ['eighths in five beats, ups after 2 and 4', 5, 'eighths D- DU D- DU D-'],
  ['eighths in five beats, down and up', 5, 'eighths DU DU DU DU DU'],
  ['eighths in seven, downs, the last group full', 3.5, 'eighths D-D-DUU'],
  ['eighths in seven, all down', 3.5, 'eighths DDDDDDD'],
  ['triplets, all down', 4, 'triplets DDD DDD DDD DDD'],
  ['triplets, first and third of each', 4, 'triplets D-U D-U D-U D-U'],
  ['sixteenths, down and up', 4, 'sixteenths DUDU DUDU DUDU DUDU'],
  ['sixteenths, accents on 2 and 4', 4, 'sixteenths DUDU D>UDU DUDU D>UDU'],
  ['sixteenths, muted between accents', 4, 'sixteenths D>UxDxU> DxUxD>Ux D>UxDxU> DxUxD>Ux'],
  ['half notes, then let ring', 4, 'eighths D- -- D- --'],
  ['one stroke, then let ring', 4, 'eighths D- -- -- --'],
];

export const STRUM_LIBRARY: readonly NamedStrum[] = TABLE.map(([name, quarters, text]) => ({
  name,
  quarters,
  pattern: unwrap(parseStrum(text)),
}));

const IN_SIX = /^eighths in six,/;

/** Patterns whose name is true in bars of this meter: those in six for its dotted beats, others for plain ones. */
export function strumsFor(meter: Meter): readonly NamedStrum[] {
  const bar = barLength(meter);
  const dotted = beatsOf(meter).every(({ length }) => equals(length, { n: 3, d: 2 }));
  return STRUM_LIBRARY.filter(({ name, pattern }) => {
    const times = div(bar, strumLength(pattern));
    return times.d === 1 && IN_SIX.test(name) === dotted;
  });
}

/** Does its grid speak the feel: eighths where they swing, sixteenths where those do, no triplets where all is straight? */
export const strumSuits = ({ pattern: { grid } }: NamedStrum, feel: Feel): boolean =>
  feel.kind === 'straight' ? grid !== 3 : feel.value === 8 ? grid !== 4 : grid === 4;

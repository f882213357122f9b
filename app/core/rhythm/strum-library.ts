// General strum patterns, named by what the hand does: a start for a section, not a style of anyone's.
import { unwrap } from '../base/result.ts';
import type { StrumPattern } from '../model/chart.ts';
import { parseStrum } from './strum.ts';

export interface NamedStrum {
  readonly name: string;
  /** The beats a bar should have for the name to be true, in quarter notes. */
  readonly quarters: 2 | 3 | 4;
  readonly pattern: StrumPattern;
}

/** All patterns are our own wording of common practice (no source). */
const TABLE: readonly (readonly [name: string, quarters: 2 | 3 | 4, text: string])[] = [
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

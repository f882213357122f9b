// Chord symbols against the documented list of music21 10.5 (BSD-3-Clause; `music21.harmony.CHORD_TYPES`: degrees
// against the major scale, and every abbreviation), copied here as facts.
import { expect, test } from 'vitest';
import { readQuality } from '../../app/core/harmony/quality.ts';
import { intervalOf } from '../../app/core/harmony/vocabulary.ts';

/** Degrees, and the abbreviations that mean them; `_` is the empty one. Sixths of voice leading are left out. */
const LISTED: readonly (readonly [degrees: string, abbreviations: string])[] = [
  ['1 3 5', '_ M maj'],
  ['1 b3 5', 'm min'],
  ['1 3 #5', '+ aug'],
  ['1 b3 b5', 'dim o'],
  ['1 3 5 b7', '7 dom7'],
  ['1 3 5 7', 'maj7 M7'],
  ['1 b3 5 7', 'mM7 m#7 minmaj7'],
  ['1 b3 5 b7', 'm7 min7'],
  ['1 3 #5 7', '+M7 augmaj7'],
  ['1 3 #5 b7', '7+ +7 aug7'],
  ['1 b3 b5 b7', 'ø7 m7b5'],
  ['1 b3 b5 bb7', 'o7 dim7'],
  ['1 3 b5 b7', 'dom7dim5'],
  ['1 3 5 6', '6'],
  ['1 b3 5 6', 'm6 min6'],
  ['1 3 5 7 9', 'M9 Maj9'],
  ['1 3 5 b7 9', '9 dom9'],
  ['1 b3 5 7 9', 'mM9 minmaj9'],
  ['1 b3 5 b7 9', 'm9 min9'],
  ['1 3 #5 7 9', '+M9 augmaj9'],
  ['1 3 #5 b7 9', '9#5 +9 aug9'],
  ['1 b3 b5 b7 9', 'ø9'],
  ['1 b3 b5 b7 b9', 'øb9'],
  ['1 b3 b5 bb7 9', 'o9 dim9'],
  ['1 b3 b5 bb7 b9', 'ob9 dimb9'],
  ['1 3 5 b7 9 11', '11 dom11'],
  ['1 3 5 7 9 11', 'M11 Maj11'],
  ['1 b3 5 7 9 11', 'mM11 minmaj11'],
  ['1 b3 5 b7 9 11', 'm11 min11'],
  ['1 3 #5 7 9 11', '+M11 augmaj11'],
  ['1 3 #5 b7 9 11', '+11 aug11'],
  ['1 b3 b5 b7 9 11', 'ø11'],
  ['1 b3 b5 bb7 9 11', 'o11 dim11'],
  ['1 3 5 7 9 11 13', 'M13 Maj13'],
  ['1 3 5 b7 9 11 13', '13 dom13'],
  ['1 b3 5 7 9 11 13', 'mM13 minmaj13'],
  ['1 b3 5 b7 9 11 13', 'm13 min13'],
  ['1 3 #5 7 9 11 13', '+M13 augmaj13'],
  ['1 3 #5 b7 9 11 13', '+13 aug13'],
  ['1 b3 b5 b7 9 11 13', 'ø13'],
  ['1 2 5', 'sus2'],
  ['1 4 5', 'sus sus4'],
  ['1 4 5 b7', '7sus 7sus4'],
];

/**
 * Where we differ: the library names whole stacks of thirds. On guitar charts an 11th over a major third leaves the
 * third out and a 13th the 11th (as the library `tonal` has it); "dimb9" adds a ninth to the triad, as it says.
 */
const LEAVES_OUT: ReadonlyMap<string, string> = new Map([
  ...['11', 'dom11', '+11', 'aug11'].map((one) => [one, '3'] as const),
  ...[
    ...['M13', 'Maj13', '13', 'dom13', 'mM13', 'minmaj13', 'm13', 'min13'],
    ...['+M13', 'augmaj13', '+13', 'aug13', 'ø13'],
  ].map((one) => [one, '11'] as const),
  ...['dimb9', 'ob9'].map((one) => [one, 'bb7'] as const),
]);

test.each(LISTED)('%s is %s', (degrees, abbreviations) => {
  for (const typed of abbreviations.split(' ')) {
    const out = LEAVES_OUT.get(typed);
    const wanted = degrees
      .split(' ')
      .filter((degree) => degree !== out)
      .map(intervalOf);
    const read = readQuality(typed === '_' ? '' : typed)?.intervals;
    expect([typed, read?.toSorted()]).toEqual([typed, wanted.toSorted()]);
  }
});

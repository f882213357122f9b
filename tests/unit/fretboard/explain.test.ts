// Movable shapes explain themselves.
import { expect, test } from 'vitest';
import { parseFrets } from '../../../app/core/fretboard/frets.ts';
import { easiestShape, unfingeredShape } from '../../../app/core/fretboard/ease.ts';
import { explainShape } from '../../../app/core/fretboard/explain.ts';
import { USUAL_NECK } from '../../../app/core/fretboard/geometry.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';
import type { SoundingChord } from '../../../app/core/model/chord.ts';
import { readChord } from '../../../app/core/harmony/read.ts';
import { unwrap } from '../../../app/core/base/result.ts';

function story(symbol: string, text: string) {
  const chord = unwrap(readChord(symbol)) as SoundingChord;
  const sounding = unfingeredShape(unwrap(parseFrets(text)), chord, STANDARD, USUAL_NECK)!;
  return explainShape(easiestShape(sounding, chord, USUAL_NECK)!, STANDARD);
}

// Common practice, no source.
test.each([
  ['F', '133211', 'the open E shape, barred at 1'],
  ['G', '355433', 'the open E shape, barred at 3'],
  ['A', '577655', 'the open E shape, barred at 5'],
  ['Bm', 'x24432', 'the open A minor shape, barred at 2'],
  ['Gm', '355333', 'the open E minor shape, barred at 3'],
  ['Am7', '575555', 'the open Em7 shape, barred at 5'],
  ['Bm7', '797777', 'the open Em7 shape, barred at 7'],
  ['D7', 'x57575', 'the open A7 shape, barred at 5'],
  ['E7', 'x79797', 'the open A7 shape, barred at 7'],
  ['Eb', 'xx1343', 'the open D shape, 1 fret up'],
  ['C#', 'x43121', 'the open C shape, barred at 1'],
  ['C', 'x32010', 'an open shape'],
])('%s as %s is %s', (symbol, frets, words) => expect(story(symbol, frets)).toBe(words));

test('a shape like no open chord is called closed', () =>
  expect(story('C7b5', 'x3435x')).toBe('a closed shape from fret 3'));

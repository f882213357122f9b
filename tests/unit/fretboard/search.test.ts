// Playable shapes: what comes out on top, what a hand cannot do, and what every shape must satisfy.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { parseFrets, printFrets } from '../../../app/core/fretboard/frets.ts';
import { type Fingering, fingeringsOf } from '../../../app/core/fretboard/fingering.ts';
import { liftOf, sounding } from '../../../app/core/fretboard/capo.ts';
import { fretDistance, USUAL_NECK } from '../../../app/core/fretboard/geometry.ts';
import { isAlike } from '../../../app/core/fretboard/grips.ts';
import { nearestPlayable } from '../../../app/core/fretboard/nearest-playable.ts';
import { shapesFor } from '../../../app/core/fretboard/search.ts';
import { type Shape, fingersOf, soundingPitches } from '../../../app/core/fretboard/shape.ts';
import { STANDARD, readTuning, TUNINGS } from '../../../app/core/harmony/tunings.ts';
import { REACH } from '../../../app/core/fretboard/weights.ts';
import type { SoundingChord } from '../../../app/core/model/chord.ts';
import { readChord } from '../../../app/core/harmony/read.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import type { Tuning } from '../../../app/core/model/chart.ts';

const chord = (symbol: string) => unwrap(readChord(symbol)) as SoundingChord;
const shapes = (symbol: string, tuning = STANDARD) => shapesFor(chord(symbol), tuning);
const best = (symbol: string) => printFrets(shapes(symbol)[0]!.frets);
const fingers = (shape: Pick<Shape, 'frets' | 'presses'>) =>
  fingersOf(shape)
    .map((finger) => finger ?? '-')
    .join('');

describe('the open shapes that everyone learns first come out on top', () => {
  // Common practice, no source.
  test.each([
    ['C', 'x32010'],
    ['A', 'x02220'],
    ['G', '320003'],
    ['E', '022100'],
    ['D', 'xx0232'],
    ['Am', 'x02210'],
    ['Em', '022000'],
    ['Dm', 'xx0231'],
    ['A7', 'x02020'],
    ['D7', 'xx0212'],
    ['E7', '020100'],
    ['G7', '320001'],
    ['B7', 'x21202'],
    ['C7', 'x32310'],
    ['Am7', 'x02010'],
    ['F', '133211'],
  ])('%s is %s', (symbol, frets) => expect(best(symbol)).toBe(frets));

  test.each([
    ['Bm', 'x24432'],
    ['F#m', '244222'],
    ['Bb', 'x13331'],
    ['B', 'x24442'],
    ['C#m', 'x46654'],
    ['Gm7', '353333'],
  ])('the barred %s is the grip of %s', (symbol, frets) => {
    const [first] = shapes(symbol);
    expect([first!.frets, ...first!.also].map(printFrets)).toContain(frets);
  });

  test.each([
    ['C', '-32-1-'],
    ['A', '--123-'],
    ['E', '-231--'],
    ['D', '---132'],
    ['G7', '32---1'],
    ['F', '134211'],
  ])('%s is fingered %s', (symbol, expected) => expect(fingers(shapes(symbol)[0]!)).toBe(expected));
});

describe('the trade’s movable shapes are found', () => {
  // Common practice, no source.
  test.each([
    ['F', '133211', '134211'],
    ['G', '355433', '134211'],
    ['A', '577655', '134211'],
    ['Bm', 'x24432', '-13421'],
    ['Gm', '355333', '134111'],
    ['Am7', '575555', '131111'],
    ['Bm7', '797777', '131111'],
    ['D7', 'x57575', '-13141'],
    ['E7', 'x79797', '-13141'],
  ])('%s as %s', (symbol, frets, expected) => {
    const known = shapesFor(chord(symbol), STANDARD, { most: 200 });
    const listed = known.flatMap((shape) => [shape.frets, ...shape.also]);
    expect(listed.map(printFrets)).toContain(frets);
    const [{ presses }] = fingeringsOf(unwrap(parseFrets(frets)), USUAL_NECK) as [Fingering];
    expect(fingers({ frets: unwrap(parseFrets(frets)), presses })).toBe(expected);
  });

  test('D on the top three strings is 2-3-2, Gm6 on the top four 2-3-3-3 from string 4', () => {
    const top = (symbol: string, count: number) =>
      shapesFor(chord(symbol), STANDARD, { most: 200, bass: 'root-or-fifth' }).map((shape) =>
        shape.frets.slice(6 - count).join('-'),
      );
    expect(top('D', 3)).toContain('2-3-2');
    expect(top('Gm6', 4)).toContain('2-3-3-3');
  });
});

describe('what every shape satisfies', () => {
  const symbols = fc
    .tuple(
      fc.constantFrom('C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'),
      fc.constantFrom(
        '',
        'm',
        '7',
        'm7',
        'maj7',
        'sus4',
        'dim',
        'aug',
        '6',
        'm6',
        '9',
        'add9',
        '13',
        '5',
      ),
    )
    .map((parts) => parts.join(''));
  const each = (check: (shape: Shape, symbol: string, tuning: Tuning) => void) =>
    fc.assert(
      fc.property(symbols, fc.constantFrom(...TUNINGS), (symbol, tuning) =>
        shapes(symbol, tuning).forEach((shape) => check(shape, symbol, tuning)),
      ),
      { numRuns: 60 },
    );

  test('its notes are the chord’s, the chord’s bass lowest, and only what may be left out is missing', () =>
    each((shape, symbol, tuning) => {
      const { pitchClasses, bassPc } = sounding(chord(symbol), liftOf({ capo: 0, tuning }));
      const heard = soundingPitches(shape.pitches);
      expect(heard.every((midi) => pitchClasses.includes(midi % 12))).toBe(true);
      expect(Math.min(...heard) % 12).toBe(bassPc);
      expect(shape.omitted.every((label) => ['5', '9', '11'].includes(label))).toBe(true);
    }));

  test('every finger has one fret, every stopped string one finger, and the reach is within the limit', () =>
    each((shape) => {
      const frets = shape.frets.filter((fret): fret is number => fret !== null && fret > 0);
      expect(new Set(shape.presses.map((press) => press.finger)).size).toBe(shape.presses.length);
      expect(fingersOf(shape).filter((finger) => finger !== null)).toHaveLength(frets.length);
      const span = fretDistance(Math.max(0, ...frets)) - fretDistance(Math.min(24, ...frets));
      expect(span).toBeLessThanOrEqual(REACH.span);
    }));

  test('the ease is the sum of its parts, none negative, and what the model finds is in their order', () =>
    fc.assert(
      fc.property(symbols, (symbol) => {
        const list = shapes(symbol);
        for (const { parts, ease } of list) {
          expect(Object.values(parts).every((part) => part >= 0)).toBe(true);
          expect(ease).toBeCloseTo(
            Object.values(parts).reduce((a, b) => a + b, 0),
            9,
          );
        }
        const found = list.filter((shape) => !shape.taught).map((shape) => shape.ease);
        expect(found).toEqual(found.toSorted((a, b) => a - b));
      }),
      { numRuns: 40 },
    ));
});

describe('limits of the hand', () => {
  const frets = (text: string) => unwrap(parseFrets(text));

  test('five fingers are refused, a barre saves them', () => {
    expect(fingeringsOf(frets('123456'), USUAL_NECK)).toEqual([]);
    expect(fingeringsOf(frets('133211'), USUAL_NECK).length).toBeGreaterThan(0);
  });

  test('the same reach in frets is allowed high up and refused at the nut: millimetres decide', () => {
    const wide = (low: number) => fingeringsOf([null, low, null, null, null, low + 5], USUAL_NECK);
    expect(wide(1)).toEqual([]);
    expect(wide(9).length).toBeGreaterThan(0);
  });

  test('a barre cannot lie across an open string', () => {
    const held = fingeringsOf(frets('x20002'), USUAL_NECK);
    expect(held.every(({ presses }) => presses.length === 2)).toBe(true);
  });
});

test('options: no omission, the fifth below, a lower neck end', () => {
  const without = shapesFor(chord('C9'), STANDARD, { omission: 'none' });
  expect(without.every((shape) => shape.omitted.length === 0)).toBe(true);
  const hasFifthLowest = (shape: Shape) => shape.parts.bass > 0;
  const fifth = shapesFor(chord('Absus4'), STANDARD, { bass: 'root-or-fifth' });
  expect(fifth.some(hasFifthLowest)).toBe(true);
  expect(shapes('Absus4').some(hasFifthLowest)).toBe(false);
  const low = shapesFor(chord('C'), STANDARD, { highest: 4 });
  expect(low.every((shape) => Math.max(...shape.frets.map((f) => f ?? 0)) <= 4)).toBe(true);
});

test('strings left out, and the fifth below the root, are listed with their grip, not beside it', () => {
  const f = shapes('F');
  expect(f[0]!.also.map(printFrets)).toContain('xx3211');
  expect(f.map((shape) => printFrets(shape.frets))).not.toContain('13321x');
  expect(shapes('C')[0]!.also.map(printFrets)).toContain('332010');
});

test('open tunings: open G is played with no finger at all', () => {
  const openG = unwrap(readTuning('open G'));
  expect(shapes('G', openG)[0]!.presses).toEqual([]);
});

test('above a capo the fingered shape stays, its pitches move', () => {
  const neck = { ...USUAL_NECK, capo: 2 };
  const [first] = shapesFor(chord('G'), STANDARD, { neck });
  expect(printFrets(first!.frets)).toBe('320003');
  expect(first!.pitches[0]).toBe(45);
});

test('a chord that no hand can play is told with the nearest that can be played', () => {
  const openD = unwrap(readTuning('open D'));
  const hard = chord('G7#9#11b13');
  expect(shapesFor(hard, openD)).toEqual([]);
  const { problem, symbol, shape } = nearestPlayable(hard, openD);
  expect(problem.code).toBe('no-shape');
  expect(problem.message).toBe('No hand can play G7♯9♯11♭13 in open D tuning.');
  expect(problem.cure).toBe(
    `The nearest that can be played is ${symbol}, for example ${printFrets(shape!.frets)}.`,
  );
  expect(shapesFor(chord(symbol!), openD)[0]!.frets).toEqual(shape!.frets);
});

test.each(['F#m6', 'Edim', 'C#sus4', 'Fdim', 'Ab6', 'A9', 'Bm7b5'])(
  'what stands beside a shape of %s is the same grip, taught or found',
  (symbol) => {
    for (const shape of shapes(symbol)) {
      const strangers = shape.also.filter((frets) => !isAlike(frets, shape.frets));
      expect(strangers.map(printFrets)).toEqual([]);
    }
  },
);

// chords-db 0.5.1 lists these first.
test.each([
  ['F#m6', '2x122x', '2x1222'],
  ['Edim', 'xx2353', 'xx23x3'],
])('beside the taught %s %s stands %s', (symbol, taught, variant) => {
  const shape = shapes(symbol).find(({ frets }) => printFrets(frets) === taught);
  expect(shape?.also.map(printFrets)).toContain(variant);
});

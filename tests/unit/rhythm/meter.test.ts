// Meters: how many beats a bar has, how long they are and where the stresses fall (music theory, computable).
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  barLength,
  beatUnitLength,
  beatsOf,
  checkMeter,
  defaultGrouping,
  lengthOf,
  meterOf,
  printMeter,
  printTempo,
  usualBeatUnit,
} from '../../../app/core/rhythm/meter.ts';
import { equals, rational } from '../../../app/core/base/rational.ts';
import { meters } from '../chart/arbitrary.ts';

const beatLengths = (numerator: number, unit: 2 | 4 | 8 | 16): string[] =>
  beatsOf(meterOf(numerator, unit)).map(({ length }) => `${length.n}/${length.d}`);

describe('beats of a bar, in quarter notes', () => {
  // Simple and compound time as any primer of music theory defines them: 6/8 has two dotted beats.
  test.each([
    [2, 4, ['1/1', '1/1']],
    [3, 4, ['1/1', '1/1', '1/1']],
    [4, 4, ['1/1', '1/1', '1/1', '1/1']],
    [2, 2, ['2/1', '2/1']],
    [6, 8, ['3/2', '3/2']],
    [9, 8, ['3/2', '3/2', '3/2']],
    [12, 8, ['3/2', '3/2', '3/2', '3/2']],
    [7, 8, ['1/1', '1/1', '3/2']],
    [5, 8, ['3/2', '1/1']],
    [3, 8, ['3/2']],
    [6, 16, ['3/4', '3/4']],
  ] as const)('%i/%i', (numerator, unit, lengths) => {
    expect(beatLengths(numerator, unit)).toEqual(lengths);
  });

  test('7/8 as 3+2+2 starts with the long beat', () => {
    const meter = { numerator: 7, unit: 8 as const, grouping: [3, 2, 2] };
    expect(beatsOf(meter).map((beat) => beat.at)).toEqual([
      rational(0),
      rational(3, 2),
      rational(5, 2),
    ]);
  });

  test('in 5/4 as 3+2 the fourth beat is the secondary stress', () => {
    expect(beatsOf(meterOf(5, 4)).map((beat) => beat.stress)).toEqual([
      'bar',
      'beat',
      'beat',
      'group',
      'beat',
    ]);
  });

  test('the beats of any meter fill the bar exactly', () => {
    fc.assert(fc.property(meters(), (meter) => equals(lengthOf(beatsOf(meter)), barLength(meter))));
  });
});

test.each([
  [8, [3, 3, 2]],
  [10, [3, 3, 2, 2]],
  [11, [3, 3, 3, 2]],
])('%i eighths are counted in threes, then twos', (numerator, grouping) => {
  expect(defaultGrouping(numerator, 8)).toEqual(grouping);
});

describe('meters that are refused', () => {
  test.each([
    [
      'groups that do not add up',
      { numerator: 7, unit: 8 as const, grouping: [2, 2, 2] },
      'meter-grouping',
    ],
    ['a beat of five eighths', { numerator: 5, unit: 8 as const, grouping: [5] }, 'meter-grouping'],
    ['no units', { numerator: 0, unit: 4 as const, grouping: [] }, 'meter-unknown'],
    ['thirds', { numerator: 4, unit: 3 as 4, grouping: [4] }, 'meter-unknown'],
    [
      'more than is counted',
      { numerator: 25, unit: 16 as const, grouping: [25] },
      'meter-too-long',
    ],
  ])('%s', (_, meter, code) => {
    expect(checkMeter(meter)).toMatchObject({ ok: false, problems: [{ code }] });
  });
});

describe('the counted note', () => {
  test('a tempo is printed with it', () => {
    expect(printTempo({ bpm: 170, beat: 'quarter' })).toBe('♩ = 170');
    expect(printTempo({ bpm: 58.5, beat: 'dotted-quarter' })).toBe('♩. = 58.5');
    expect(printTempo({ bpm: 60, beat: 'half' })).toBe('half = 60');
  });

  test('a dot adds half of the note', () => {
    for (const note of ['half', 'quarter', 'eighth'] as const) {
      const plain = beatUnitLength(note);
      expect(beatUnitLength(`dotted-${note}`)).toEqual(rational(plain.n * 3, plain.d * 2));
    }
  });

  test('6/8 counts ♩., 4/4 ♩, 2/2 the half, 7/8 ♩', () => {
    const units = [meterOf(6, 8), meterOf(4, 4), meterOf(2, 2), meterOf(7, 8)].map(usualBeatUnit);
    expect(units).toEqual(['dotted-quarter', 'quarter', 'half', 'quarter']);
  });

  test('a grouping is printed only where it is not the usual one', () => {
    expect(printMeter(meterOf(7, 8))).toBe('7/8');
    expect(printMeter({ numerator: 7, unit: 8, grouping: [3, 2, 2] })).toBe('7/8 (3+2+2)');
  });
});

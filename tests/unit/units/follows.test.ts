// What is said under the bars of a section: how each shape follows from the one before it, once.
import { expect, test } from 'vitest';
import { unwrap } from '../../../app/core/base/result.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { followsIn } from '../../../app/core/units/follows.ts';

const follows = (bars: string, head = '') =>
  Object.fromEntries(
    followsIn(
      unwrap(parseChart(`title: T\n${head}tempo: q = 90\nmeter: 4/4\n\n[A]\n${bars}\n`)),
      'A',
    ),
  );

test('by written bar, the first time two shapes meet', () =>
  expect(follows('| C | Am | C | Am |')).toEqual({
    1: ['Am: only the ring finger moves'],
    2: ['C: only the ring finger moves'],
  }));

test('two changes in one bar, and a barre that moves', () =>
  expect(follows('| F | Gb Ab |')).toEqual({
    1: ['G♭: the same shape, one fret up', 'A♭: the same shape, two frets up'],
  }));

test('nothing where the shapes have nothing in common, or nothing can be played', () => {
  expect(follows('| D | Em |')).toEqual({});
  expect(followsIn(unwrap(parseChart('title: T\ntempo: q = 90\n\n[A]\n| C |\n')), 'B').size).toBe(
    0,
  );
});

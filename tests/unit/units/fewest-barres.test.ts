// The player's wish for few barres: easier shapes where one is taught, never over a pin.
import { expect, test } from 'vitest';
import { unwrap } from '../../../app/core/base/result.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { printFrets } from '../../../app/core/fretboard/frets.ts';
import { shapesHeld } from '../../../app/core/units/hands/fewest-barres.ts';

const chart = (bars: string, head = '') =>
  unwrap(parseChart(`title: T\n${head}tempo: q = 90\nmeter: 4/4\n\n[A]\n${bars}\n`));
const held = (...asked: Parameters<typeof chart>) =>
  shapesHeld(chart(...asked), 'fewest').map(
    ({ symbol, frets }) => `${symbol} ${printFrets(frets)}`,
  );

test('as taught, the chart’s own shapes are all', () => {
  const own = chart('| F | G |', 'shape G = 355433\n');
  expect(shapesHeld(own, 'taught')).toBe(own.shapes);
});

test.each([
  ['barred chords have one', '| F | Bm / C / | G |', '', ['F xx3211', 'Bm xx4432']],
  ['what is pinned stays', '| F | Bm |', 'shape Bm = x24432\n', ['Bm x24432', 'F xx3211']],
  ['also what is pinned at one place only', '| F[133211] | F | Bm |', '', ['Bm xx4432']],
  ['not in an open tuning', '| F | Bm |', 'tuning: open G\n', []],
  ['with all strings lower', '| F | Bm |', 'tuning: half step down\n', ['F xx3211', 'Bm xx4432']],
])('%s', (_, bars, head, expected) => expect(held(bars, head)).toEqual(expected));

// What a bar of tab shows and says.
import { describe, expect, it } from 'vitest';
import { parsePart } from '../../../../app/core/lead/notation.ts';
import { rational } from '../../../../app/core/base/rational.ts';
import { unwrap } from '../../../../app/core/base/result.ts';
import { drawnTab } from '../../../../renderer/parts/tab/drawn-tab.ts';

const FOUR_FOUR = { numerator: 4, unit: 4 as const, grouping: [1, 1, 1, 1] };
const tab = (text: string) => drawnTab(unwrap(parsePart(text, 'Line'))[0]!, FOUR_FOUR, rational(4));

it('says techniques in the order they are played', () => {
  expect(tab('4 3/7 p5 2/8b1r~ r').spoken).toBe(
    'string 3, fret 7; pull off to 5; string 2, fret 8, bend 1 step and release, vibrato; rest',
  );
});

it('places equal lengths at equal distances', () => {
  const at = tab('4 3/7 3/7 3/7 3/7').stems.map((stem) => stem.at);
  const gaps = at.slice(1).map((x, i) => x - at[i]!);
  for (const gap of gaps) expect(gap).toBeCloseTo(gaps[0]!, 12);
});

describe('links', () => {
  it('join the numbers of one string', () => {
    const { links, notes } = tab('4 3/5 2/5 3/h7 r');
    expect(links).toEqual([{ from: notes[0]!.at, to: notes[2]!.at, string: 3, kind: 'hammer-on' }]);
  });
});

describe('beams', () => {
  it('join eighths within a beat and never across one', () => {
    expect(tab('8 3/5 3/5 3/5 3/5 2 r').beams).toHaveLength(2);
  });
  it('are doubled for sixteenths and broken by rests', () => {
    expect(tab('16 3/5 3/5 r 3/5 4 r r r').beams.map((beam) => beam.level)).toEqual([1, 2]);
  });
});

it('marks dots, and one 3 for every three triplets', () => {
  expect(tab('8t 3/5 3/6 3/7 4. 3/5 8 r 4 r').stems.map((stem) => stem.mark)).toEqual([
    '',
    '3',
    '',
    '.',
    '',
    '',
  ]);
});

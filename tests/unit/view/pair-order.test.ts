// Pairs as the set-up offers them: what broke most first, then what is hard, each two chords once.
import { expect, it } from 'vitest';
import { demoCharts } from '../../../app/services/machine/demo-charts.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import { sortedPairs } from '../../../renderer/parts/unit/pair-order.ts';

const pairs = listUnits(
  demoCharts().find(({ id }) => id === 'demo-seven-chairs')!,
  'pair',
);
const names = (some: ReturnType<typeof sortedPairs>) => some.map(({ unit }) => unit.name);

it('lists each two chords once, whichever way round they meet', () => {
  // Am C, C G, G Am, G D, D Am, Am F, F C, Am Dm, Am E are all the neighbours of this chart.
  const sets = pairs.map(({ ref }) =>
    ref.kind === 'pair' ? [ref.from, ref.to].sort().join() : '',
  );
  expect(new Set(sets).size).toBe(sets.length);
  expect(sets.toSorted()).toEqual(
    ['Am,C', 'Am,D', 'Am,Dm', 'Am,E', 'Am,F', 'Am,G', 'C,F', 'C,G', 'D,G'].sort(),
  );
});

it('puts what broke first, both ways counted together, then what is hard', () => {
  const tallies = [
    { from: 'C', to: 'F', broke: 2 },
    { from: 'F', to: 'C', broke: 1 },
    { from: 'G', to: 'D', broke: 2 },
  ];
  const hardest = [{ from: 'Am', to: 'F', hardness: 9 }];
  const sorted = sortedPairs(pairs, tallies, hardest);
  expect(names(sorted).slice(0, 3)).toEqual(['F and C', 'G and D', 'Am and F']);
  expect(sorted[0]!.broke).toBe(3);
});

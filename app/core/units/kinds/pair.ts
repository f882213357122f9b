// Two chords back and forth.
import { fail, ok } from '../../base/result.ts';
import { inNames } from '../../harmony/note-names.ts';
import type { ChartBody } from '../../model/chart.ts';
import type { UnitRef } from '../../model/unit.ts';
import { changesOf, isPair, pairBars } from '../bars/pair.ts';
import { wholeChart } from '../bars/places.ts';
import { type KindOfUnit, nowhereElse } from './kind.ts';

export const pair: KindOfUnit<'pair'> = {
  resolve(chart, ref) {
    const shown = (symbol: string): string => inNames(symbol, chart.names);
    const bars = wholeChart(chart);
    if (!bars.ok) return bars;
    const change = changesOf(bars.value).find((change) => isPair(change, ref.from, ref.to));
    if (!change) {
      return fail({
        code: 'unit-pair-gone',
        message: `no ${shown(ref.from)} is followed by ${shown(ref.to)} in this chart`,
        cure: 'Choose two chords that meet in it.',
      });
    }
    return ok({
      name: `${shown(ref.from)} and ${shown(ref.to)}`,
      bars: pairBars(bars.value, change),
    });
  },
  list: pairsOf,
  placesLike: nowhereElse,
};

/** The pair as the chart lists it, whichever way round it is asked for; undefined where the two never meet. */
export const listedPair = (chart: ChartBody, a: string, b: string): UnitRef<'pair'> | undefined =>
  pairsOf(chart).find(({ from, to }) => (from === a && to === b) || (from === b && to === a));

/** Every two chords that meet once, whichever way round, as they first meet; silence is no chord. */
function pairsOf(chart: ChartBody): UnitRef<'pair'>[] {
  const bars = wholeChart(chart);
  if (!bars.ok) return [];
  const pairs = new Map<string, UnitRef<'pair'>>();
  for (const { from, to } of changesOf(bars.value)) {
    if (from.kind !== 'chord' || to.kind !== 'chord' || from.symbol === to.symbol) continue;
    const ref = { kind: 'pair', from: from.symbol, to: to.symbol } as const;
    const [there, back] = [`${ref.from}:${ref.to}`, `${ref.to}:${ref.from}`];
    if (!pairs.has(there) && !pairs.has(back)) pairs.set(there, ref);
  }
  return [...pairs.values()];
}

// The tightest changes of a section as bars to practise: each of the hardest few back and forth.
import { neckOf, unitPath } from './hands.ts';
import { tightestFirst } from './tightest.ts';
import type { ChartShape } from '../model/chart.ts';
import { changesOf, isPair, pairBars } from './pair.ts';
import type { PlayedBar, Unit } from '../model/unit.ts';

/** Changes in the set: few enough to keep in the hand (ours, no source). */
const SET_SIZE = 3;

/** Empty where the section has no change that a hand makes. */
export function tightestBars(unit: Unit, shapes: readonly ChartShape[]): readonly PlayedBar[] {
  const ranked = tightestFirst(unitPath(unit, shapes), neckOf(unit));
  const changes = changesOf(unit.bars);
  const found = ranked.flatMap(
    ({ from, to }) => changes.find((change) => isPair(change, from, to)) ?? [],
  );
  return [...new Set(found)].slice(0, SET_SIZE).flatMap((change) => pairBars(unit.bars, change));
}

// The hardest changes of a section as bars to practise: each of the hardest few back and forth.
import { neckOf, unitPath } from '../hands/hands.ts';
import { hardestFirst } from '../hands/hardest.ts';
import type { ChartShape } from '../../model/chart.ts';
import { changesOf, isEitherWay, pairBars } from './pair.ts';
import type { PlayedBar, Unit } from '../../model/unit.ts';

/** Changes in the set: few enough to keep in the hand (ours, no source). */
const SET_SIZE = 3;

/** Empty where the section has no change that a hand makes. */
export function hardestBars(unit: Unit, shapes: readonly ChartShape[]): readonly PlayedBar[] {
  const ranked = hardestFirst(unitPath(unit, shapes), neckOf(unit));
  const changes = changesOf(unit.bars);
  const found = ranked.flatMap(
    ({ from, to }) => changes.find((change) => isEitherWay(change, from, to)) ?? [],
  );
  return [...new Set(found)].slice(0, SET_SIZE).flatMap((change) => pairBars(unit.bars, change));
}

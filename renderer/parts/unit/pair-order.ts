// In which order pairs of chords are offered: what broke most first, then what is hardest for the hand.
import type { Unit } from '../../../app/core/model/unit.ts';
import type { ChangeTally } from '../../../app/core/progress/changes.ts';
import type { HardChange } from '../../../app/core/units/hands/hardest.ts';

interface Two {
  readonly from: string;
  readonly to: string;
}

export interface OfferedPair {
  readonly unit: Unit;
  /** Times that it broke, either way round. */
  readonly broke: number;
}

const between = ({ ref }: Unit, { from, to }: Two): boolean =>
  ref.kind === 'pair' &&
  ((ref.from === from && ref.to === to) || (ref.from === to && ref.to === from));

/** Those of which nothing is known stay in the order in which the chart has them. */
export function sortedPairs(
  pairs: readonly Unit[],
  tallies: readonly Pick<ChangeTally, 'from' | 'to' | 'broke'>[],
  hardest: readonly Pick<HardChange, 'from' | 'to' | 'hardness'>[],
): readonly OfferedPair[] {
  return pairs
    .map((unit) => ({
      unit,
      broke: tallies.reduce((sum, one) => sum + (between(unit, one) ? one.broke : 0), 0),
      hard: hardest.reduce((most, c) => (between(unit, c) ? Math.max(most, c.hardness) : most), 0),
    }))
    .sort((a, b) => b.broke - a.broke || b.hard - a.hard)
    .map(({ unit, broke }) => ({ unit, broke }));
}

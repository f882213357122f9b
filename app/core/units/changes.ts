// The chord changes of a unit: where a pass of it can break.
import type { BreakPlace, Unit } from '../model/unit.ts';

/**
 * Every change out of one chord into another, in order; the first chord comes out of the count-in and is none.
 * `change` counts all chords of the unit as laps do.
 */
function changesOf({ bars }: Pick<Unit, 'bars'>): readonly BreakPlace[] {
  const places: BreakPlace[] = [];
  let from = bars[0]?.held?.symbol ?? '';
  let change = 0;
  bars.forEach((bar, at) => {
    for (const { chord } of bar.chords) {
      if (from !== '' && from !== chord.symbol) {
        places.push({ bar: at, change, from, to: chord.symbol });
      }
      from = chord.symbol;
      change += 1;
    }
  });
  return places;
}

/** Where a pass of the unit can break: at its changes, and in a lead line or without changes in its bars. */
export function breakPlaces(unit: Pick<Unit, 'bars' | 'lead'>): readonly BreakPlace[] {
  const changes = unit.lead ? [] : changesOf(unit);
  if (changes.length > 0) return changes;
  return unit.bars.length < 2
    ? []
    : unit.bars.map((_, bar) => ({ bar, change: bar, from: '', to: '' }));
}

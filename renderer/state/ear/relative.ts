// Lateness where the round trip is not known: measured against the player's own middle, and said to be so.
import { timingOf } from '../../../app/core/ear/verdict.ts';
import { median } from '../../../app/core/base/median.ts';
import type { ChangeHeard } from '../../../app/core/model/pass.ts';
import type { Milliseconds } from '../../../app/core/base/units.ts';

/** Offsets of the changes that were the right chord: a wrong one says nothing of the round trip. */
export const rightOffsets = (changes: readonly ChangeHeard[]): readonly Milliseconds[] =>
  changes.flatMap(({ chord, offset }) =>
    chord === 'right' && offset !== undefined ? [offset] : [],
  );

/** The changes with the middle of `offsets` as the new zero; unchanged while there are none. */
export function relativeTo(
  offsets: readonly Milliseconds[],
  changes: readonly ChangeHeard[],
): readonly ChangeHeard[] {
  if (offsets.length === 0) return changes;
  const middle = median(offsets);
  return changes.map((change) =>
    change.offset === undefined ? change : timed(change, change.offset - middle),
  );
}

function timed(change: ChangeHeard, offset: Milliseconds): ChangeHeard {
  if (change.timing === 'silent' || change.timing === 'unsure') return { ...change, offset };
  return { ...change, offset, timing: timingOf(offset) };
}

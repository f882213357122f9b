// Which change of the climb's unit breaks most, over the passes that the ear heard of it.
import { howBroken, type WeakChange } from '../../../app/core/ear/broken.ts';
import { type ChangeFault, isOfTime, isTold } from '../../../app/core/log/told.ts';
import type { VerdictRule } from '../../../app/core/ear/verdict.ts';
import { wilsonLower } from '../../../app/core/progress/changes.ts';
import { median } from '../../../app/core/base/median.ts';
import type { ChangeHeard } from '../../../app/core/model/pass.ts';
import type { Seconds } from '../../../app/core/base/units.ts';

export interface HeardPass {
  readonly pass: number;
  readonly changes: readonly ChangeHeard[];
  /** One beat at the pass's tempo. */
  readonly beat: Seconds;
}

/** Fewer hearings are an accident, not a habit (ours). */
const LEAST_HEARD = 3;
const LEAST_BROKEN = 2;

/**
 * Undefined until one change broke at least twice in three hearings or more. The first chord comes out of the
 * count-in, not out of another chord, so there is no change to drill and it is left out.
 */
export function weakestOf(passes: readonly HeardPass[], rule: VerdictRule): WeakChange | undefined {
  const all = passes.flatMap(({ changes, beat }) =>
    changes
      .filter((change) => change.from !== '' && isTold(change))
      .map((change) => ({ change, how: howBroken(change, rule, beat) })),
  );
  const tallies = [...Map.groupBy(all, ({ change }) => change.change).values()]
    .map(tally)
    .filter((t) => t.heard >= LEAST_HEARD && t.broke >= LEAST_BROKEN);
  return tallies.toSorted(
    (a, b) => wilsonLower(b.broke, b.heard) - wilsonLower(a.broke, a.heard),
  )[0];
}

type Hearing = { readonly change: ChangeHeard; readonly how: ChangeFault | undefined };

function tally(hearings: readonly Hearing[]): WeakChange {
  const { bar, change, from, to } = hearings[0]!.change;
  const broken = hearings.flatMap(({ how, ...rest }) => (how ? [{ how, ...rest }] : []));
  const kinds = [...Map.groupBy(broken, ({ how }) => how)].toSorted(
    ([, a], [, b]) => b.length - a.length,
  );
  const [how, most] = kinds[0] ?? ['late' as const, []];
  const offsets = most.flatMap(({ change: c }) => c.offset ?? []);
  const timed = isOfTime(how) && offsets.length > 0;
  return {
    ...{ bar, change, from, to, how },
    heard: hearings.length,
    broke: broken.length,
    ...(timed && { offset: median(offsets) }),
  };
}

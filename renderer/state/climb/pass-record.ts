// The record of one pass as it goes into the log, from the climb's own account of it.
import type { Unit } from '../../../app/core/model/unit.ts';
import { loggedBar } from '../../../app/core/units/bars/logged-bars.ts';
import type { ClimbPass, ClimbState } from '../../../app/core/ladder/model.ts';
import type {
  ChangeHeard,
  ClimbSource,
  PassRecord,
  PlayedUnit,
  PassVerdict,
} from '../../../app/core/model/pass.ts';
import type { IsoTime, Seconds } from '../../../app/core/base/units.ts';

/** What every pass of one climb has in common. */
export interface Sitting {
  readonly session: string;
  readonly climb: string;
  readonly chart: { readonly id: string; readonly title: string };
  readonly unit: Unit;
  /** Has this unit not been played yet today? Then the first pass is a cold one. */
  readonly cold: boolean;
  /** Does it answer a miss of another climb? */
  readonly detour?: 'drill' | 'piece';
}

/** What is known of one pass besides the climb's own account of it. */
export interface PassFacts {
  readonly id: string;
  readonly at: IsoTime;
  readonly duration: Seconds;
  readonly verdict: PassVerdict;
  readonly source: ClimbSource;
  readonly changes?: readonly ChangeHeard[];
  readonly played?: readonly number[];
}

/** What was played, at what tempo, and who judged it. */
export function recordOf(
  sitting: Sitting,
  state: ClimbState,
  pass: ClimbPass,
  facts: PassFacts,
): PassRecord {
  const { unit } = sitting;
  const { rules, rungs, targetRung } = state;
  const { changes, ...rest } = facts;
  return {
    ...rest,
    session: sitting.session,
    climb: sitting.climb,
    chart: sitting.chart,
    unit: { key: unit.key, name: unit.name, fingerprint: unit.fingerprint },
    rung: {
      bpm: rungs[pass.rung] as number,
      beat: rules.beat,
      index: pass.rung,
      of: rungs.length,
      target: rungs[targetRung] as number,
    },
    cold: sitting.cold && pass.number === 1,
    ...(pass.after && { after: pass.after }),
    ...(sitting.detour && { within: sitting.detour }),
    ...(changes === undefined ? {} : { changes }),
    ...(pass.underrun ? { underrun: true as const } : {}),
  };
}

/** The unit's bars as the log keeps them. */
export const playedUnit = (unit: Unit): PlayedUnit => ({
  fingerprint: unit.fingerprint,
  bars: unit.bars.map(loggedBar),
});

// How a change broke, by the rule in force, and what is said of one that keeps breaking.
import { type ChangeFault, FAULTS_OF_SOUND, faultsOf, isTold } from '../log/told.ts';
import type { ChangeHeard } from '../model/pass.ts';
import type { BreakPlace } from '../model/unit.ts';
import type { Milliseconds, Seconds } from '../base/units.ts';
import { holds, type VerdictRule } from './verdict.ts';

export interface WeakChange extends BreakPlace {
  readonly heard: number;
  readonly broke: number;
  /** How it broke most often. */
  readonly how: ChangeFault;
  /** Middle offset of the hearings that broke that way, where `how` is late or early. */
  readonly offset?: Milliseconds;
}

/** The change that broke worst; undefined where all held. A wrong chord weighs more than any lateness within a pass. */
export function worstChange(
  changes: readonly ChangeHeard[],
  rule: VerdictRule,
  beat: Seconds,
): ChangeHeard | undefined {
  const severity = ({ chord, offset = 0 }: ChangeHeard): number =>
    chord === 'right' ? Math.abs(offset) : WRONG;
  return changes
    .filter((change) => howBroken(change, rule, beat))
    .toSorted((a, b) => severity(b) - severity(a))[0];
}

const WRONG: Milliseconds = 10_000;

/** Undefined where the change held by the rule, or could not be told. */
export function howBroken(
  change: ChangeHeard,
  rule: VerdictRule,
  beat: Seconds,
): ChangeFault | undefined {
  if (!isTold(change) || holds(change, rule, beat)) return undefined;
  const faults = faultsOf(change);
  const ofSound = FAULTS_OF_SOUND.find((fault) => faults.has(fault));
  return ofSound ?? ((change.offset ?? 0) < 0 ? 'early' : 'late');
}

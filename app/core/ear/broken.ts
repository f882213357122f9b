// How a change broke, by the rule in force, and what is said of one that keeps breaking.
import type { ChangeHeard } from '../model/pass.ts';
import type { Milliseconds, Seconds } from '../base/units.ts';
import { holds, type VerdictRule } from './verdict.ts';

export interface WeakChange {
  readonly bar: number;
  readonly change: number;
  readonly from: string;
  readonly to: string;
  readonly heard: number;
  readonly broke: number;
  /** How it broke most often. */
  readonly how: 'late' | 'early' | 'wrong' | 'silent';
  /** Middle offset of the hearings that broke that way, where `how` is late or early. */
  readonly offset?: Milliseconds;
}

type How = WeakChange['how'];

/** Could the ear tell? What it could not is held against nobody. */
export const isTold = ({ chord, timing }: ChangeHeard): boolean =>
  chord !== 'unsure' && !(chord === 'right' && timing === 'unsure');

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
export function howBroken(change: ChangeHeard, rule: VerdictRule, beat: Seconds): How | undefined {
  if (!isTold(change) || holds(change, rule, beat)) return undefined;
  if (change.chord === 'silent' || change.timing === 'silent') return 'silent';
  if (change.chord !== 'right') return 'wrong';
  return (change.offset ?? 0) < 0 ? 'early' : 'late';
}

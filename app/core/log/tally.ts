// Counts passes by verdict and by judge.
import { eachOf } from '../base/each-of.ts';
import type { Share } from '../base/units.ts';
import {
  PASS_VERDICTS,
  type PassRecord,
  type PassVerdict,
  VERDICT_SOURCES,
  VERDICTS,
  type VerdictSource,
} from '../model/pass.ts';

/** Counts of passes by verdict. Share clean is over judged passes only; absent when none was judged. */
export interface Tally extends Readonly<Record<PassVerdict, number>> {
  readonly shareClean?: Share;
  /** Time spent playing the unit's bars, without count-ins and rest bars. */
  readonly minutes: number;
  /** Who judged the clean and missed passes, and how many each. */
  readonly judgedBy: Readonly<Record<VerdictSource, number>>;
}

/** Counts, minutes and judges of any passes. */
export function tally(
  passes: readonly Pick<PassRecord, 'verdict' | 'source' | 'duration'>[],
): Tally {
  const counts = eachOf(PASS_VERDICTS, () => 0);
  const judgedBy = eachOf(VERDICT_SOURCES, () => 0);
  let seconds = 0;
  for (const pass of passes) {
    counts[pass.verdict]++;
    if (pass.verdict !== 'unjudged') judgedBy[pass.source]++;
    seconds += pass.duration;
  }
  return withShare({ ...counts, minutes: seconds / 60, judgedBy });
}

/** The counts with the share that was clean, where any was judged. */
export function withShare(counts: Omit<Tally, 'shareClean'>): Tally {
  const judged = sumOf(counts, VERDICTS);
  return { ...counts, ...(judged > 0 && { shareClean: counts.clean / judged }) };
}

/** How many passes were counted. */
export const passCount = (counts: Pick<Tally, PassVerdict>): number => sumOf(counts, PASS_VERDICTS);

const sumOf = <V extends PassVerdict>(counts: Pick<Tally, V>, verdicts: readonly V[]): number =>
  verdicts.reduce((sum, verdict) => sum + counts[verdict], 0);

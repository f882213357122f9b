// Counts passes by verdict and by judge.
import type { Share } from '../base/units.ts';
import { type PassRecord, VERDICT_SOURCES, type VerdictSource } from '../model/pass.ts';

/** Counts of passes by verdict. Share clean is over judged passes only; absent when none was judged. */
export interface Tally {
  readonly clean: number;
  readonly missed: number;
  readonly unjudged: number;
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
  const counts = { clean: 0, missed: 0, unjudged: 0 };
  const judgedBy = bySource(() => 0);
  let seconds = 0;
  for (const pass of passes) {
    counts[pass.verdict]++;
    if (pass.verdict !== 'unjudged') judgedBy[pass.source]++;
    seconds += pass.duration;
  }
  return withShare({ ...counts, minutes: seconds / 60, judgedBy });
}

/** One for each who can judge. */
export const bySource = <T>(of: (source: VerdictSource) => T): Record<VerdictSource, T> =>
  Object.fromEntries(VERDICT_SOURCES.map((source) => [source, of(source)])) as Record<
    VerdictSource,
    T
  >;

/** The counts with the share that was clean, where any was judged. */
export function withShare(counts: Omit<Tally, 'shareClean'>): Tally {
  const { clean, missed, unjudged, ...rest } = counts;
  const judged = clean + missed;
  return { clean, missed, unjudged, ...(judged > 0 && { shareClean: clean / judged }), ...rest };
}

/** How many passes were counted. */
export const passesIn = ({
  clean,
  missed,
  unjudged,
}: Pick<Tally, 'clean' | 'missed' | 'unjudged'>): number => clean + missed + unjudged;

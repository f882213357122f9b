// The figures of a log made of its passes: what is too particular for a tally, and all of them while passes wait for the disk.
import type { IsoDate } from '../../../core/base/units.ts';
import { localDate } from '../../../core/log/days.ts';
import { summarise } from '../../../core/log/per-unit.ts';
import { tally } from '../../../core/log/tally.ts';
import type { PassRecord } from '../../../core/model/pass.ts';
import { inBeat } from '../../../core/rhythm/pulse.ts';
import type { DayTally, LogFilter, UnitTally } from '../../contract/log-queries.ts';

/** Passes that nobody judged belong to nobody: a judge leaves them out. */
export const fits = (
  pass: PassRecord,
  { since, until, judge }: Pick<LogFilter, 'since' | 'until' | 'judge'>,
): boolean =>
  (since === undefined || localDate(pass.at) >= since) &&
  (until === undefined || localDate(pass.at) <= until) &&
  (judge === undefined || (pass.verdict !== 'unjudged' && pass.source === judge));

/** @param passes settled, in time order. Latest played first. */
export const unitsOf = (passes: readonly PassRecord[]): UnitTally[] =>
  summarise(passes).map(({ sessions: _, bestClean: __, passes: those, ...unit }) => {
    const days = datesOf(those);
    const fastest = Math.max(
      0,
      ...those
        .filter(({ verdict }) => verdict === 'clean')
        .map(({ rung }) => inBeat(rung.bpm, rung.beat, 'quarter')),
    );
    return {
      ...unit,
      days: days.length,
      since: days[0]!,
      ...(fastest > 0 ? { fastestQuarters: fastest } : {}),
    };
  });

/** @param passes settled. Earliest first. */
export const daysOf = (passes: readonly PassRecord[]): DayTally[] =>
  [...Map.groupBy(passes, ({ at }) => localDate(at))]
    .map(([date, those]) => ({ date, ...tally(those) }))
    .sort((a, b) => (a.date < b.date ? -1 : 1));

/** Every date on which one of them was played, earliest first. */
const datesOf = (passes: readonly PassRecord[]): IsoDate[] =>
  [...new Set(passes.map(({ at }) => localDate(at)))].sort();

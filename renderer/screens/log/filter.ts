// Which units of the log are shown: by words, by chart, by time and by judge.
import { localDate } from '../../../app/core/progress/calendar.ts';
import { summariseUnit } from '../../../app/core/progress/per-unit.ts';
import type { UnitSummary } from '../../../app/core/progress/per-unit.ts';
import type { PassRecord, VerdictSource } from '../../../app/core/progress/record.ts';
import type { IsoDate } from '../../../app/core/units.ts';

export interface LogFilter {
  /** Every word must occur in the chart's or the unit's name. */
  readonly words: string;
  /** '' is every chart. */
  readonly chart: string;
  /** Passes of this date and later; absent is all of them. */
  readonly since?: IsoDate;
  readonly judge: VerdictSource | 'anyone';
}

/** The summaries computed anew from the passes that fit; units with none are left out. */
export function filterLog(
  summaries: readonly UnitSummary[],
  filter: LogFilter,
): readonly UnitSummary[] {
  const words = filter.words.toLowerCase().split(/\s+/).filter(Boolean);
  return summaries
    .filter((unit) => filter.chart === '' || unit.chart.id === filter.chart)
    .filter((unit) => words.every((w) => nameOf(unit).includes(w)))
    .flatMap((unit) => {
      const passes = unit.passes.filter((pass) => fits(pass, filter));
      if (passes.length === 0) return [];
      return [passes.length === unit.passes.length ? unit : summariseUnit(passes)];
    });
}

const nameOf = (unit: UnitSummary): string => `${unit.chart.title} ${unit.unit.name}`.toLowerCase();

const fits = (pass: PassRecord, { since, judge }: LogFilter): boolean =>
  (since === undefined || localDate(pass.at) >= since) &&
  (judge === 'anyone' || (pass.verdict !== 'unjudged' && pass.source === judge));

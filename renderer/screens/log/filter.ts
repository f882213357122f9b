// Which units of the log are shown: by words, by chart, by time and by judge.
import { summariseUnit } from '../../../app/core/log/per-unit.ts';
import type { UnitSummary } from '../../../app/core/log/per-unit.ts';
import { fitsFilter, type PassFilter } from '../../state/log/filter-choices.ts';

export interface LogFilter extends PassFilter {
  /** Every word must occur in the chart's or the unit's name. */
  readonly words: string;
  /** '' is every chart. */
  readonly chart: string;
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
      const passes = unit.passes.filter((pass) => fitsFilter(pass, filter));
      if (passes.length === 0) return [];
      return [passes.length === unit.passes.length ? unit : summariseUnit(passes)];
    });
}

const nameOf = (unit: UnitSummary): string => `${unit.chart.title} ${unit.unit.name}`.toLowerCase();

// Which passes the History room shows.
import type { PassRecord } from '../../../app/core/model/pass.ts';
import { fitsFilter, type PassFilter } from '../../state/log/filter-choices.ts';

export interface HistoryFilter extends PassFilter {
  /** Empty for every chart. */
  readonly chart: string;
}

export function filterPasses(
  passes: readonly PassRecord[],
  filter: HistoryFilter,
): readonly PassRecord[] {
  const { chart, since, judge } = filter;
  if (chart === '' && since === undefined && judge === 'anyone') return passes;
  return passes.filter(
    (pass) => (chart === '' || pass.chart.id === chart) && fitsFilter(pass, filter),
  );
}

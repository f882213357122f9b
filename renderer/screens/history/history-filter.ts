// Which passes the History room shows.
import { localDate } from '../../../app/core/progress/calendar.ts';
import type { PassRecord, VerdictSource } from '../../../app/core/progress/record.ts';
import type { IsoDate } from '../../../app/core/units.ts';

export interface HistoryFilter {
  /** Empty for every chart. */
  readonly chart: string;
  readonly since?: IsoDate;
  readonly judge: VerdictSource | 'anyone';
}

/** Passes that nobody judged belong to nobody: a judge leaves them out. */
export function filterPasses(
  passes: readonly PassRecord[],
  { chart, since, judge }: HistoryFilter,
): readonly PassRecord[] {
  if (chart === '' && since === undefined && judge === 'anyone') return passes;
  return passes.filter(
    (pass) =>
      (chart === '' || pass.chart.id === chart) &&
      (since === undefined || localDate(pass.at) >= since) &&
      (judge === 'anyone' || (pass.source === judge && pass.verdict !== 'unjudged')),
  );
}

// What a filter over passes offers, and what its choice of days means.
import { dateOfDay, dayNumber, localDate } from '../../../app/core/log/days.ts';
import type { PassRecord, VerdictSource } from '../../../app/core/model/pass.ts';
import type { IsoDate } from '../../../app/core/base/units.ts';
import { today } from '../../page/clock.ts';

/** Every chart that was ever played, with its latest title; '' stands for all of them. */
export const chartChoices = (
  passes: readonly Pick<PassRecord, 'chart'>[],
): readonly { readonly value: string; readonly label: string }[] => [
  { value: '', label: 'Every chart' },
  ...[...new Map(passes.map((p) => [p.chart.id, p.chart.title]))].map(([value, label]) => ({
    value,
    label,
  })),
];

/** The first of so many days up to today; undefined for 0, which is all of time. */
export const sinceDays = (days: number): IsoDate | undefined =>
  days > 0 ? dateOfDay(dayNumber(today()) - days + 1) : undefined;

export interface PassFilter {
  /** Passes of this date and later; absent is all of them. */
  readonly since?: IsoDate;
  readonly judge: VerdictSource | 'anyone';
}

/** Passes that nobody judged belong to nobody: a judge leaves them out. */
export const fitsFilter = (pass: PassRecord, { since, judge }: PassFilter): boolean =>
  (since === undefined || localDate(pass.at) >= since) &&
  (judge === 'anyone' || (pass.verdict !== 'unjudged' && pass.source === judge));

// What a filter over the log offers, and what its choice of days means.
import { dateOfDay, dayNumber, localDate } from '../../../app/core/log/days.ts';
import type { IsoDate } from '../../../app/core/base/units.ts';
import type { UnitTally } from '../../../app/services/contract/contract.ts';
import { today } from '../../page/clock.ts';
import type { JudgeChoice } from '../../page/judges.ts';

/** Every chart that was ever played, the latest first, with its latest title; '' stands for all of them. */
export const chartChoices = (
  units: readonly Pick<UnitTally, 'chart'>[],
): readonly { readonly value: string; readonly label: string }[] => [
  { value: '', label: 'Every chart' },
  ...[...new Map(units.toReversed().map(({ chart }) => [chart.id, chart.title]))]
    .map(([value, label]) => ({ value, label }))
    .reverse(),
];

/** The year up to the last day of practice; a number of days else, 0 for all of time. */
export const LAST_YEAR = -1;
const YEAR = 366;

/** Does the log go back further than its last year? A room then opens with that year. */
export const isLong = (units: readonly UnitTally[]): boolean => {
  const since = lastYearOf(units);
  return since !== undefined && units.some((unit) => unit.since < since);
};

/** The first day of the choice; undefined for all of time. @param units every one that was played, latest first */
export const sinceOf = (days: number, units: readonly UnitTally[]): IsoDate | undefined => {
  if (days === LAST_YEAR) return lastYearOf(units);
  return days > 0 ? dateOfDay(dayNumber(today()) - days + 1) : undefined;
};

/** A pass of a machine whose clock is years ahead hides no other. */
const lastYearOf = ([latest]: readonly UnitTally[]): IsoDate | undefined =>
  latest && dateOfDay(Math.min(dayNumber(localDate(latest.lastPlayed)), dayNumber(today())) - YEAR);

/** Fields that a filter narrows, without those it leaves alone. */
export const narrowedTo = ({
  since,
  judge,
}: {
  readonly since: IsoDate | undefined;
  readonly judge: JudgeChoice;
}) => ({
  ...(since === undefined ? {} : { since }),
  ...(judge === 'anyone' ? {} : { judge }),
});

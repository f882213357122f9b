// What is asked of the log answered from passes alone: while some of them wait for the disk, and as the test of the log's own answers.
import type { Bpm, IsoDate } from '../../../core/base/units.ts';
import { localDate, passesUpTo } from '../../../core/log/days.ts';
import { summarise } from '../../../core/log/per-unit.ts';
import { tally } from '../../../core/log/tally.ts';
import type { PassRecord } from '../../../core/model/pass.ts';
import { partBySet } from '../../../core/progress/as-set.ts';
import { type LessonFacts, lessonFactsOf } from '../../../core/progress/lesson-facts.ts';
import { questionOf } from '../../../core/progress/placing.ts';
import { standingOf } from '../../../core/progress/standing.ts';
import { inBeat } from '../../../core/rhythm/pulse.ts';
import type {
  BarsCount,
  BestOfDay,
  DayTally,
  LessonQuery,
  LogFilter,
  Places,
  PlacesQuery,
  UnitTally,
} from '../../contract/log-queries.ts';

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
  summarise(passes).map(({ passes: those, ...unit }) => {
    const days = datesOf(those);
    return { ...unit, days: days.length, since: days[0]!, ...fastestOf(those) };
  });

/** @param passes settled. Earliest first. */
export const daysOf = (passes: readonly PassRecord[]): DayTally[] =>
  [...Map.groupBy(passes, ({ at }) => localDate(at))]
    .map(([date, those]) => ({ date, ...tally(those), ...fastestOf(those) }))
    .sort((a, b) => (a.date < b.date ? -1 : 1));

/** @param passes of one chart, settled. */
export const countsOf = (passes: readonly PassRecord[]): BarsCount[] =>
  [...Map.groupBy(passes, ({ unit }) => unit.fingerprint)].map(([bars, those]) => {
    const { clean, missed } = tally(those);
    return { bars, clean, missed };
  });

/** @param passes of some bars, settled. Earliest first. */
export const bestsOf = (passes: readonly PassRecord[]): BestOfDay[] =>
  daysOf(passes).flatMap(({ date, fastestQuarters: quarters }) =>
    quarters === undefined ? [] : [{ date, quarters }],
  );

/** Where what is set stands. @param all of a desk, in time order. */
export function placesFrom(all: readonly PassRecord[], { asOf, assignments }: PlacesQuery): Places {
  const passes = passesUpTo(all, asOf);
  return assignments.map((one) => {
    const { counted, other, accepted } = partBySet(one, passes);
    const standing = standingOf({ ...questionOf(one, asOf), passes: counted });
    return [one.id, { standing, other, accepted }] as const;
  });
}

/** What the page before a lesson says. @param all of a desk, in time order. */
export const lessonFrom = (
  all: readonly PassRecord[],
  { assignments, since }: LessonQuery,
): LessonFacts => lessonFactsOf(all, assignments, since);

/** The fastest clean pass in quarter notes a minute, where there is one. */
function fastestOf(passes: readonly PassRecord[]): { readonly fastestQuarters?: Bpm } {
  const clean = passes.filter(({ verdict }) => verdict === 'clean');
  if (clean.length === 0) return {};
  const quarters = clean.map(({ rung }) => inBeat(rung.bpm, rung.beat, 'quarter'));
  return { fastestQuarters: quarters.reduce((a, b) => Math.max(a, b)) };
}

/** Every date on which one of them was played, earliest first. */
const datesOf = (passes: readonly PassRecord[]): IsoDate[] =>
  [...new Set(passes.map(({ at }) => localDate(at)))].sort();

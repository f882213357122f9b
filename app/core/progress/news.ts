// What a teacher changed in what was set, as the student is told it: new terms, other bars, words on passes, taken back.
import type { IsoDate, IsoTime } from '../base/units.ts';
import { dateOfDay, dayNumber, localDate } from '../log/days.ts';
import { byMoment, instantOf } from '../log/history.ts';
import { type Assignment, differencesOf } from './assignment.ts';

export interface News {
  readonly assignment: Assignment;
  readonly at: IsoTime;
  /** "target 80 → 90", at least one. */
  readonly words: readonly string[];
}

/** So many days it stays in view (our choice). */
const DAYS = 14;

/**
 * Newest first; what the player set alone is no news.
 * @param today the day on which it is read
 * @param sayDate shows a date to people
 */
export function newsOf(
  assignments: readonly Assignment[],
  today: IsoDate,
  sayDate: (date: IsoDate) => string = (date) => date,
): readonly News[] {
  const since = dateOfDay(dayNumber(today) - DAYS);
  return assignments
    .filter(({ by }) => by !== '')
    .flatMap((assignment) => changesOf(assignment, sayDate))
    .filter(({ at, words }) => words.length > 0 && localDate(at) > since)
    .sort((a, b) => byMoment(dated(b), dated(a)));
}

/** What changed at one moment stands in one order on all machines of the player. */
const dated = ({ at, assignment: { id } }: News) => ({ at, id });

function changesOf(assignment: Assignment, sayDate: (date: IsoDate) => string): News[] {
  const { earlier, terms, withdrawn, bars, given, otherBars = [] } = assignment;
  if (withdrawn !== undefined) {
    return [
      { assignment, at: withdrawn, words: ['taken back: it need not be practised any more'] },
    ];
  }
  const revised = earlier.map(({ until, terms: before }, i) => ({
    assignment,
    at: until,
    words: differencesOf(before, earlier[i + 1]?.terms ?? terms, sayDate),
  }));
  const barsAnew =
    bars && instantOf(bars.since) > instantOf(given)
      ? [{ assignment, at: bars.since, words: ['its bars were changed in the chart'] }]
      : [];
  const said = otherBars.map(({ at, counts }) => ({
    assignment,
    at,
    words: [counts ? 'your passes on other bars count' : 'passes on other bars do not count'],
  }));
  return [...revised, ...barsAnew, ...said];
}

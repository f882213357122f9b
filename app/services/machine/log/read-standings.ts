// Where units and what is set for a student stand, and what the page before a lesson says.
import type { DatabaseSync } from 'node:sqlite';
import type { BeatUnit, IsoDate } from '../../../core/base/units.ts';
import { briefOf, dateOfDay, dayNumber, localDate, passesUpTo } from '../../../core/log/days.ts';
import type { PassRecord } from '../../../core/model/pass.ts';
import { acceptedBars, type OtherBars, partOthers } from '../../../core/progress/as-set.ts';
import type { Assignment } from '../../../core/progress/assignment.ts';
import { breakingChanges, type ChangeTally } from '../../../core/progress/changes.ts';
import { type Grounds, groundsOf } from '../../../core/progress/grounds.ts';
import { type LessonFacts, lessonFacts } from '../../../core/progress/lesson-facts.ts';
import { type AssignmentStanding, questionOf } from '../../../core/progress/placing.ts';
import { todaysKey } from '../../../core/units/keys.ts';
import {
  standingOn,
  type StandingQuestion,
  type UnitStanding,
} from '../../../core/progress/standing.ts';
import type {
  BarsAsked,
  DayTally,
  LessonQuery,
  LogFilter,
  Places,
  PlacesQuery,
  StandingAsked,
} from '../../contract/log-queries.ts';
import type { Kept } from './kept.ts';
import { type PairsAsked, pairsIn } from './pairs.ts';
import { both, readLately, readWhere, timeOf } from './read-passes.ts';
import { prepared } from './prepared.ts';

/** What stands in the log of grounds: they hold from the day for which they were made up to the day of a later pass. */
interface KeptGrounds {
  readonly from: IsoDate;
  readonly before?: IsoDate;
  readonly grounds: Grounds;
}

type Days = (filter: LogFilter) => readonly DayTally[];

/** Where things stand rests on grounds that are kept in the log; what is said of them on one day is kept in memory. */
export function readStandings(database: DatabaseSync, kept: Kept, days: Days) {
  const reading: Reading = { database, kept };
  return {
    lately: ({ asOf, bars, ...of }: BarsAsked & { readonly asOf: IsoDate }) =>
      readLately(database, pairsIn(database, { ...of, bars: [bars] }), asOf),
    standing: (desk: string, { chart, bars, due, ...asked }: StandingAsked): UnitStanding =>
      standingOfPairs(
        reading,
        { desk, chart, bars: [bars] },
        { ...asked, ...(due === undefined ? {} : { due }) },
      ),
    worst: ({ desk, chart, bars, latest }: BarsAsked & { latest: number }): ChangeTally | null => {
      const of = { desk, chart, bars: [bars] };
      const { mark, where } = pairsIn(database, of);
      return kept.inLog(asText('worst', of, latest), mark, () =>
        worstOf(readWhere(database, where, latest).passes),
      );
    },
    places: (query: PlacesQuery): Places => placesIn(reading, query),
    lesson: (query: LessonQuery): LessonFacts => lessonIn(reading, days, query),
  };
}

/** The change that broke most; null where none did. */
export function worstOf(passes: readonly PassRecord[]): ChangeTally | null {
  const [first] = breakingChanges(passes);
  return first && first.broke > 0 ? first : null;
}

interface Reading {
  readonly database: DatabaseSync;
  readonly kept: Kept;
}

const asText = (...question: readonly unknown[]): string => JSON.stringify(question);

function standingOfPairs(
  { database, kept }: Reading,
  of: PairsAsked,
  question: Omit<StandingQuestion, 'passes'>,
): UnitStanding {
  const pairs = pairsIn(database, of);
  const { beat, asOf } = question;
  return kept.inMemory(asText('standing', of, question), pairs.mark, () => {
    const { grounds } = kept.inLog(
      asText('grounds', of, beat),
      pairs.mark,
      () => makeGrounds(readLately(database, pairs, asOf), beat, asOf),
      ({ from, before }) => from <= asOf && (before === undefined || asOf < before),
    );
    return standingOn(grounds, question);
  });
}

function makeGrounds(passes: readonly PassRecord[], beat: BeatUnit, asOf: IsoDate): KeptGrounds {
  const later = passes
    .map(({ at }) => localDate(at))
    .filter((date) => date > asOf)
    .toSorted();
  return {
    from: asOf,
    ...(later[0] === undefined ? {} : { before: later[0] }),
    grounds: groundsOf(passes, beat, asOf),
  };
}

function placesIn(reading: Reading, query: PlacesQuery): Places {
  const { database, kept } = reading;
  const { desk, asOf } = query;
  const places = byChart(query.assignments).map(([chart, assignments]) => {
    const { mark } = pairsIn(database, { desk, chart });
    return kept.inMemory(asText('places', desk, asOf, assignments), mark, () => {
      const ever = kept.inLog(asText('played', desk, chart), mark, () =>
        readPlayed(database, desk, chart),
      );
      // What was played after the day asked about is left out, which is rare: only then it is read once more.
      const later = ever.some(({ last }) => last > asOf);
      const played = later ? readPlayed(database, desk, chart, asOf) : ever;
      return assignments.map((one) => [one.id, placeOf(reading, desk, one, asOf, played)] as const);
    });
  });
  return places.flat();
}

interface Played extends OtherBars {
  /** Key of the unit, as it is searched by. */
  readonly unit: string;
}

/** @param upTo a day; all of them if left out */
const readPlayed = (database: DatabaseSync, desk: string, chart: string, upTo = '9999-12-31') =>
  prepared(
    database,
    `select units.unit, bars.fingerprint, count(*) as passes, max(day) as last from passes
         join units on units.ref = passes.unit join desks on desks.ref = units.desk
         join bars on bars.ref = passes.bars
       where desks.name = ? and units.chart = ? and day <= ?
       group by units.ref, bars.ref`,
  ).all(desk, chart, upTo) as unknown as Played[];

/** The passes that count for an assignment. */
function countedBy(desk: string, assignment: Assignment): PairsAsked {
  const { bars, unit, chart } = assignment;
  const of = { desk, chart: chart.id };
  if (!bars) return { ...of, unit: unit.key };
  return { ...of, bars: [bars.fingerprint, ...acceptedBars(assignment)] };
}

function placeOf(
  reading: Reading,
  desk: string,
  assignment: Assignment,
  asOf: IsoDate,
  played: readonly Played[],
): AssignmentStanding {
  const counted = countedBy(desk, assignment);
  return {
    standing: standingOfPairs(reading, counted, questionOf(assignment, asOf)),
    ...(assignment.bars === undefined
      ? { other: [], accepted: [] }
      : partOthers(assignment, barsAbout(assignment, played))),
  };
}

function lessonIn({ database }: Reading, days: Days, query: LessonQuery): LessonFacts {
  const { desk, since, assignments } = query;
  const dayBefore = dateOfDay(dayNumber(since) - 1);
  const counted = assignments.map((assignment) => {
    const pairs = pairsIn(database, countedBy(desk, assignment));
    return {
      assignment,
      before: passesUpTo(readLately(database, pairs, dayBefore), dayBefore),
      lately: readWhere(database, both(pairs.where, timeOf({ since }))).passes,
    };
  });
  const practised = days({ desk, since }).map(({ date, ...day }) => ({ date, ...briefOf(day) }));
  return lessonFacts(counted, practised, since);
}

const byChart = (assignments: readonly Assignment[]) => [
  ...Map.groupBy(assignments, ({ chart }) => chart.id),
];

/** Every version of the bars that was played under the unit's key, or that counts under any. */
function barsAbout(assignment: Assignment, played: readonly Played[]): readonly OtherBars[] {
  const accepted = acceptedBars(assignment);
  const key = todaysKey(assignment.unit.key);
  const about = played.filter(({ unit, fingerprint }) => unit === key || accepted.has(fingerprint));
  return [...Map.groupBy(about, ({ fingerprint }) => fingerprint)].map(([fingerprint, those]) => ({
    fingerprint,
    passes: those.reduce((sum, { passes }) => sum + passes, 0),
    last: those
      .map(({ last }) => last)
      .toSorted()
      .at(-1)!,
  }));
}

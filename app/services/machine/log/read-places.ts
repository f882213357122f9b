// Where what is set for a student stands, and what the page before a lesson says: read in brief, and only as far back as a figure rests on it.
import type { DatabaseSync } from 'node:sqlite';
import type { IsoDate } from '../../../core/base/units.ts';
import { briefOf, dateOfDay, dayNumber, passesUpTo } from '../../../core/log/days.ts';
import type { PassRecord } from '../../../core/model/pass.ts';
import {
  acceptedBars,
  type OtherBars,
  partBySet,
  partOthers,
} from '../../../core/progress/as-set.ts';
import {
  type LessonFacts,
  lessonFacts,
  lessonFactsOf,
} from '../../../core/progress/lesson-facts.ts';
import type { Assignment } from '../../../core/progress/assignment.ts';
import { type Place, questionOf } from '../../../core/progress/placing.ts';
import {
  type BriefQuestion,
  standingBriefly,
  standingOf,
} from '../../../core/progress/standing.ts';
import type {
  DayTally,
  LessonQuery,
  LogFilter,
  PassQuery,
  Places,
  PlacesQuery,
} from '../../contract/log-queries.ts';
import { onceEach, type ReadBriefly, readBriefly } from './read-briefly.ts';
import { searchedKey } from './stored-form.ts';

/**
 * Practice days of a unit that are read. The level looks at 24 of them, pace and share clean at four weeks,
 * which hold no more than 28 (`core/progress`).
 */
const DAYS = 40;

/** What else is asked of the log. */
interface Asking {
  readonly passes: (query: PassQuery) => readonly PassRecord[];
  readonly days: (filter: LogFilter) => readonly DayTally[];
}

/** Places are kept by student as long as nothing was added to the student's log. */
export function readPlaces(database: DatabaseSync, asking: Asking) {
  const kept = new Map<string, { readonly asked: string; readonly places: Places }>();
  // Not before it is asked: a damaged file is opened to be read as far as it goes.
  let prepared: Statements | undefined;
  const statements = (): Statements => (prepared ??= prepare(database));
  return {
    places: (query: PlacesQuery): Places => {
      const to = statements();
      const asked = JSON.stringify([query, to.stamp.get(query.desk, query.desk)]);
      const known = kept.get(query.desk);
      if (known?.asked === asked) return known.places;
      const places = placesIn(to, asking, query);
      kept.set(query.desk, { asked, places });
      return places;
    },
    lesson: (query: LessonQuery): LessonFacts => lessonIn(statements(), asking, query),
  };
}

type Statements = ReturnType<typeof prepare>;

const prepare = (database: DatabaseSync) => ({
  briefly: readBriefly(database),
  /** Changes whenever something is added to the log of a desk, or taken out. */
  stamp: database.prepare(
    `select
       (select count(*) || ' ' || max(row) from passes
        join desks on desks.ref = passes.desk where desks.name = ?) as passes,
       (select count(*) || ' ' || max(row) from amendments
        join desks on desks.ref = amendments.desk where desks.name = ?) as words`,
  ),
  units: database.prepare(
    `select units.ref from units join desks on desks.ref = units.desk
     where desks.name = ? and units.chart = ?`,
  ),
  /** The first of the last practice days of a unit up to a day. */
  since: database.prepare(
    `select min(day) as day from
       (select distinct day from tallies where unit = ? and day <= ? order by day desc limit ${DAYS})`,
  ),
  played: database.prepare(
    `select units.unit, bars.fingerprint, count(*) as passes, max(day) as last from passes
       join units on units.ref = passes.unit join desks on desks.ref = units.desk
       join bars on bars.ref = passes.bars
     where desks.name = ? and units.chart = ? and day <= ?
     group by units.ref, bars.ref`,
  ),
});

interface Played extends OtherBars {
  /** Key of the unit, as it is searched by. */
  readonly unit: string;
}

function placesIn(to: Statements, asking: Asking, query: PlacesQuery): Places {
  const { desk, asOf, assignments } = query;
  return byChart(assignments).flatMap(([chart, those]) => {
    const briefly = countedIn(to, desk, chart, asOf);
    const played = to.played.all(desk, chart, asOf) as unknown as Played[];
    const wholeSince = onceEach((since: IsoDate) =>
      asking.passes({ desk, chart, since, until: asOf }),
    );
    const whole = (assignment: Assignment) => (since: IsoDate) =>
      partBySet(assignment, wholeSince(since)).counted;
    return those.map((one) => {
      const question = { ...questionOf(one, asOf), passes: briefly(one), wholeSince: whole(one) };
      return [one.id, placeOf(one, question, played)] as const;
    });
  });
}

function lessonIn(to: Statements, asking: Asking, query: LessonQuery): LessonFacts {
  const { desk, since, assignments } = query;
  const dayBefore = dateOfDay(dayNumber(since) - 1);
  const counted = byChart(assignments).flatMap(([chart, those]) => {
    const before = countedIn(to, desk, chart, dayBefore);
    const passes = asking.passes({ desk, chart, since });
    return those.map((assignment) => ({
      assignment,
      before: before(assignment),
      lately: partBySet(assignment, passes).counted,
    }));
  });
  const days = asking.days({ desk, since }).map(({ date, ...day }) => ({ date, ...briefOf(day) }));
  return lessonFacts(counted, days, since);
}

const byChart = (assignments: readonly Assignment[]) => [
  ...Map.groupBy(assignments, ({ chart }) => chart.id),
];

/** Reads the passes of a chart that count for an assignment, of the last practice days up to a day. */
function countedIn(
  to: Statements,
  desk: string,
  chart: string,
  until: IsoDate,
): (assignment: Assignment) => ReturnType<ReadBriefly> {
  const since = firstDay(to, desk, chart, until);
  return (assignment) => {
    if (since === undefined) return [];
    const { bars, unit } = assignment;
    const which = bars
      ? { bars: [bars.fingerprint, ...acceptedBars(assignment)] }
      : { unit: unit.key };
    return to.briefly({ desk, chart, since, until, ...which });
  };
}

/** The day from which on all passes of a chart say what its units' last practice days say. */
function firstDay(to: Statements, desk: string, chart: string, asOf: IsoDate): string | undefined {
  const units = to.units.all(desk, chart) as unknown as { ref: number }[];
  return units
    .flatMap(({ ref }) => (to.since.get(ref, asOf) as { day: string | null }).day ?? [])
    .toSorted()[0];
}

function placeOf(
  assignment: Assignment,
  question: BriefQuestion,
  played: readonly Played[],
): Place {
  return {
    standing: standingBriefly(question),
    ...(assignment.bars === undefined
      ? { other: [], accepted: [] }
      : partOthers(assignment, barsAbout(assignment, played))),
  };
}

/** The same from every pass of a desk, in time order: for a log of which some wait for the disk. */
export function placesFrom(all: readonly PassRecord[], { asOf, assignments }: PlacesQuery): Places {
  const passes = passesUpTo(all, asOf);
  return assignments.map((one) => {
    const { counted, other, accepted } = partBySet(one, passes);
    const standing = standingOf({ ...questionOf(one, asOf), passes: counted });
    return [one.id, { standing, other, accepted }] as const;
  });
}

/** The page before a lesson, likewise. */
export const lessonFrom = (
  all: readonly PassRecord[],
  { assignments, since }: LessonQuery,
): LessonFacts => lessonFactsOf(all, assignments, since);

/** Every version of the bars that was played under the unit's key, or that counts under any. */
function barsAbout(assignment: Assignment, played: readonly Played[]): readonly OtherBars[] {
  const accepted = acceptedBars(assignment);
  const key = searchedKey(assignment.unit.key);
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

// Where what is set for a student stands, read from the part of the log that a figure rests on, and kept until the log changes.
import type { DatabaseSync } from 'node:sqlite';
import type { IsoDate } from '../../../core/base/units.ts';
import { passesUpTo } from '../../../core/log/days.ts';
import type { PassRecord } from '../../../core/model/pass.ts';
import {
  acceptedBars,
  type OtherBars,
  partBySet,
  partOthers,
} from '../../../core/progress/as-set.ts';
import type { Assignment } from '../../../core/progress/assignment.ts';
import { type Place, questionOf } from '../../../core/progress/placing.ts';
import { standingOf } from '../../../core/progress/standing.ts';
import type { PassQuery, Places, PlacesQuery } from '../../contract/log-queries.ts';
import { searchedKey } from './stored-form.ts';

/**
 * Practice days of a unit that are read. The level looks at 24 of them, pace and share clean at four weeks,
 * which hold no more than 28 (`core/progress`).
 */
const DAYS = 40;

type ReadPasses = (query: PassQuery) => readonly PassRecord[];

/** Answers are kept by student as long as nothing was added to the student's log. */
export function readPlaces(database: DatabaseSync, passesOf: ReadPasses) {
  const kept = new Map<string, { readonly asked: string; readonly places: Places }>();
  // Not before it is asked: a damaged file is opened to be read as far as it goes.
  let prepared: Statements | undefined;
  return (query: PlacesQuery): Places => {
    const statements = (prepared ??= prepare(database));
    const asked = JSON.stringify([query, statements.stamp.get(query.desk, query.desk)]);
    const known = kept.get(query.desk);
    if (known?.asked === asked) return known.places;
    const places = placesIn(statements, passesOf, query);
    kept.set(query.desk, { asked, places });
    return places;
  };
}

type Statements = ReturnType<typeof prepare>;

const prepare = (database: DatabaseSync) => ({
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

function placesIn(to: Statements, passesOf: ReadPasses, query: PlacesQuery): Places {
  const { desk, asOf, assignments } = query;
  const byChart = Map.groupBy(assignments, ({ chart }) => chart.id);
  return [...byChart].flatMap(([chart, those]) => {
    const since = firstDay(to, desk, chart, asOf);
    const passes = since === undefined ? [] : passesOf({ desk, chart, since, until: asOf });
    const played = to.played.all(desk, chart, asOf) as unknown as Played[];
    return those.map((one) => [one.id, placeOf(one, passes, played, asOf)] as const);
  });
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
  passes: readonly PassRecord[],
  played: readonly Played[],
  asOf: IsoDate,
): Place {
  const { counted } = partBySet(assignment, passes);
  return {
    standing: standingOf({ ...questionOf(assignment, asOf), passes: counted }),
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

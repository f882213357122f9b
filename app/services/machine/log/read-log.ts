// The questions asked of the log: passes of a unit, of a day, the last few; tallies by unit and by day; bars as played.
import type { DatabaseSync, SQLInputValue } from 'node:sqlite';
import { settlePasses } from '../../../core/log/history.ts';
import type { Amendment, PassRecord, PlayedUnit } from '../../../core/model/pass.ts';
import { Reach } from '../../../core/progress/reach.ts';
import type { IsoDate } from '../../../core/base/units.ts';
import type {
  BarsAsked,
  BarsCount,
  BestOfDay,
  CountsAsked,
  DayTally,
  LogFilter,
  PassQuery,
  Places,
  PlacesQuery,
  UnitTally,
  VerdictCounts,
} from '../../contract/log-queries.ts';
import { readPlaces } from './read-places.ts';
import {
  restorePass,
  searchedKey,
  type Sittings,
  type StoredPass,
  sumOf,
  sumOfPass,
  withCurrentKeys,
} from './stored-form.ts';

export interface LogReader {
  /** Settled, in time order. Records that were changed by a fault are left out and counted. */
  readonly passes: (query: PassQuery) => {
    readonly passes: PassRecord[];
    readonly changed: number;
  };
  /** From which day on the passes of these bars say where they stand as of a day; undefined for all of them. */
  readonly reach: (asked: BarsAsked & { readonly asOf: IsoDate }) => IsoDate | undefined;
  /** Latest played first. */
  readonly units: (filter: LogFilter) => UnitTally[];
  /** Of each version of the bars of a chart. */
  readonly counts: (asked: CountsAsked) => BarsCount[];
  /** Days on which these bars were clean, earliest first. */
  readonly bests: (asked: BarsAsked) => BestOfDay[];
  /** Earliest first. */
  readonly days: (filter: LogFilter) => DayTally[];
  /** Those of the fingerprints that are known. */
  readonly bars: (fingerprints: readonly string[]) => PlayedUnit[];
  /** Where what is set stands. */
  readonly places: (query: PlacesQuery) => Places;
  readonly has: (desk: string) => boolean;
}

interface Where {
  readonly text: string;
  readonly values: readonly SQLInputValue[];
}

/** Conditions that are all to hold; those whose value is absent are left out. */
function allOf(
  ...parts: readonly (readonly [text: string, value: SQLInputValue | undefined])[]
): Where {
  const asked = parts.filter(([, value]) => value !== undefined);
  return {
    text: asked.map(([text]) => text).join(' and '),
    values: asked.map(([, value]) => value!),
  };
}

const keyIn = (unit: string | undefined) => (unit === undefined ? undefined : searchedKey(unit));

export function readLog(database: DatabaseSync): LogReader {
  return {
    passes: (query) => readPasses(database, query),
    reach: (asked) => reachOf(database, asked),
    units: (filter) => readUnits(database, filter),
    counts: (asked) => readCounts(database, asked),
    bests: (asked) => readBests(database, asked),
    days: (filter) => readDays(database, filter),
    bars: (fingerprints) => readBars(database, fingerprints),
    places: readPlaces(database, (query) => readPasses(database, query).passes),
    has: (desk) => database.prepare('select 1 from desks where name = ?').get(desk) !== undefined,
  };
}

const HALF_DAY_MS = 43_200_000;
/** The moments that a calendar day may hold, whatever the time zone (they lie between -12 and +14 hours). */
const opening = (date: string | undefined) =>
  date === undefined ? undefined : Date.parse(date) - 14 * 3_600_000;
const closing = (date: string | undefined) =>
  date === undefined ? undefined : Date.parse(date) + 3 * HALF_DAY_MS;

/** Units of a desk: all, of a chart, or one. */
const UNITS = 'select ref from units where desk = (select ref from desks where name = ?)';

/**
 * Which passes are asked for, said so that SQLite goes by the narrowest index: the bars, else the unit, else the desk
 * in order of moments.
 */
function passesIn({ desk, chart, unit, bars, since, until, judge }: PassQuery): Where {
  const places = chart === undefined && unit === undefined ? undefined : [chart, keyIn(unit)];
  const units: Where = {
    text: `${UNITS}${chart === undefined ? '' : ' and chart = ?'}${unit === undefined ? '' : ' and unit = ?'}`,
    values: [desk, ...(places ?? [])].filter((value) => value !== undefined),
  };
  const more = allOf(
    ['passes.day >= ?', since],
    ['passes.day <= ?', until],
    // The log is in order of moments, not of days.
    ['passes.instant >= ?', opening(since)],
    ['passes.instant < ?', closing(until)],
    ["passes.verdict <> 'unjudged' and passes.source = ?", judge],
  );
  const where: readonly Where[] = [
    ...(bars === undefined
      ? []
      : [{ text: 'passes.bars = (select ref from bars where fingerprint = ?)', values: [bars] }]),
    places || bars !== undefined
      ? // The plus keeps SQLite from going by the unit where the bars are known.
        { ...units, text: `${bars === undefined ? '' : '+'}passes.unit in (${units.text})` }
      : { text: 'passes.desk = (select ref from desks where name = ?)', values: [desk] },
    ...(more.text === '' ? [] : [more]),
  ];
  return {
    text: where.map(({ text }) => text).join(' and '),
    values: where.flatMap(({ values }) => values),
  };
}

type PassRow = StoredPass & {
  readonly row: number;
  readonly desk: number;
  readonly sum: number;
  readonly instant: number;
  readonly amended: 0 | 1;
};

function readPasses(database: DatabaseSync, query: PassQuery) {
  const { latest } = query;
  const where = passesIn(query);
  const rows = database
    .prepare(
      `select passes.row, passes.desk, passes.id, passes.record, passes.sum, passes.instant, sittings.record as sitting,
         exists (select 1 from amendments where desk = passes.desk and pass = passes.id) as amended
       from passes join sittings on sittings.ref = passes.sitting where ${where.text}
       ${latest === undefined ? '' : 'order by passes.instant desc, passes.row desc limit ?'}`,
    )
    .all(...where.values, ...(latest === undefined ? [] : [latest])) as unknown as PassRow[];
  // Without an order SQLite takes the index that finds them.
  rows.sort((a, b) => a.instant - b.instant || a.row - b.row);
  return restoreAll(database, rows);
}

/** The passes with what was said on them later. What is not what was written is left out and counted. */
function restoreAll(database: DatabaseSync, rows: readonly PassRow[]) {
  const words = database.prepare(
    'select record, sum from amendments where desk = ? and pass = ? order by row',
  );
  const sittings: Sittings = new Map();
  let changed = 0;
  const passes = rows.flatMap((row): readonly PassRecord[] => {
    if (sumOfPass(row) !== row.sum) {
      changed++;
      return [];
    }
    const pass = restorePass(row, sittings);
    if (!row.amended) return [pass];
    const said = words.all(row.desk, row.id) as unknown as { record: string; sum: number }[];
    const whole = said.filter(({ record, sum }) => sumOf(record) === sum);
    changed += said.length - whole.length;
    return settlePasses(
      [pass],
      whole.map(({ record }) => JSON.parse(record) as Amendment),
    );
  });
  return { passes: withCurrentKeys(passes), changed };
}

/** From which day on the passes of these bars say where they stand as of a day; undefined for all of them. */
function reachOf(
  database: DatabaseSync,
  { desk, chart, bars, asOf }: BarsAsked & { readonly asOf: IsoDate },
): IsoDate | undefined {
  const where = passesIn({ desk, chart, bars });
  const rows = database
    .prepare(
      `select day, seconds, verdict, record ->> '$.cold' as cold, record ->> '$.underrun' as underrun
       from passes where ${where.text} order by passes.instant desc, passes.row desc`,
    )
    .iterate(...where.values) as Iterable<GlimpseRow>;
  const reach = new Reach(asOf);
  let since: IsoDate | undefined;
  for (const { day, seconds, verdict, cold, underrun } of rows) {
    const glimpse = { day, seconds, verdict, cold: cold === 1 };
    if (reach.isBeyond(underrun === 1 ? { ...glimpse, underrun: true } : glimpse)) return since;
    since = since === undefined || day < since ? day : since;
  }
  return undefined;
}

interface GlimpseRow {
  readonly day: string;
  readonly seconds: number;
  readonly verdict: PassRecord['verdict'];
  readonly cold: number;
  readonly underrun: number | null;
}

/** Counts by verdict, minutes, judges and the fastest clean tempo, of grouped tallies. */
const COUNTS = `sum(iif(verdict = 'clean', passes, 0)) as clean,
  sum(iif(verdict = 'missed', passes, 0)) as missed,
  sum(iif(verdict = 'unjudged', passes, 0)) as unjudged,
  sum(iif(verdict <> 'unjudged' and source = 'self', passes, 0)) as self,
  sum(iif(verdict <> 'unjudged' and source = 'ear', passes, 0)) as ear,
  sum(iif(verdict <> 'unjudged' and source = 'pedal', passes, 0)) as pedal,
  sum(iif(verdict <> 'unjudged' and source = 'teacher', passes, 0)) as teacher,
  sum(seconds) / 60 as minutes,
  max(iif(verdict = 'clean', fastest, null)) as fastest`;

type CountRow = Omit<VerdictCounts, 'judgedBy' | 'shareClean'> &
  VerdictCounts['judgedBy'] & { readonly fastest: number | null };

function countsOf(row: CountRow): VerdictCounts {
  const { clean, missed, unjudged, minutes, self, ear, pedal, teacher } = row;
  const judged = clean + missed;
  return {
    clean,
    missed,
    unjudged,
    minutes,
    ...(judged > 0 ? { shareClean: clean / judged } : {}),
    judgedBy: { self, ear, pedal, teacher },
  };
}

function filtered({ desk, chart, unit, since, until, judge }: LogFilter): Where {
  const { text, values } = allOf(
    ['desks.name = ?', desk],
    ['units.chart = ?', chart],
    ['units.unit = ?', keyIn(unit)],
    ['day >= ?', since],
    ['day <= ?', until],
    ["verdict <> 'unjudged' and source = ?", judge],
  );
  return { text, values };
}

const TALLIES = `from tallies join units on units.ref = tallies.unit join desks on desks.ref = units.desk`;

function readUnits(database: DatabaseSync, filter: LogFilter): UnitTally[] {
  const where = filtered(filter);
  const rows = database
    .prepare(
      `select tallies.unit as ref, count(distinct day) as days, min(day) as since, max(day) as lastDay, ${COUNTS}
       ${TALLIES} where ${where.text} group by tallies.unit`,
    )
    .all(...where.values) as unknown as (CountRow & {
    ref: number;
    days: number;
    since: string;
    lastDay: string;
  })[];
  // The latest moment lies on the last day or, where the player travelled, on the one before.
  const [fits, ...judges] =
    filter.judge === undefined ? [''] : [`and verdict <> 'unjudged' and source = ?`, filter.judge];
  const last = database.prepare(
    `select passes.id, passes.record, passes.sum, sittings.record as sitting from passes
     join sittings on sittings.ref = passes.sitting
     where unit = ? and day between date(?, '-1 day') and ? ${fits} order by instant desc, row desc limit 1`,
  );
  return rows
    .map((row): UnitTally => {
      const [pass] = withCurrentKeys([
        restorePass(
          last.get(row.ref, row.lastDay, row.lastDay, ...judges) as unknown as StoredPass,
        ),
      ]);
      return {
        ...countsOf(row),
        days: row.days,
        since: row.since,
        chart: pass!.chart,
        unit: pass!.unit,
        beat: pass!.rung.beat,
        target: pass!.rung.target,
        lastPlayed: pass!.at,
        ...(row.fastest === null ? {} : { fastestQuarters: row.fastest }),
      };
    })
    .sort((a, b) => Date.parse(b.lastPlayed) - Date.parse(a.lastPlayed));
}

function readDays(database: DatabaseSync, filter: LogFilter): DayTally[] {
  const where = filtered(filter);
  const rows = database
    .prepare(`select day, ${COUNTS} ${TALLIES} where ${where.text} group by day order by day`)
    .all(...where.values) as unknown as (CountRow & { day: string })[];
  return rows.map((row) => ({
    date: row.day,
    ...countsOf(row),
    ...(row.fastest === null ? {} : { fastestQuarters: row.fastest }),
  }));
}

function readCounts(database: DatabaseSync, asked: CountsAsked): BarsCount[] {
  const where = passesIn(asked);
  const rows = database
    .prepare(
      `select (select fingerprint from bars where ref = passes.bars) as bars,
         sum(verdict = 'clean') as clean, sum(verdict = 'missed') as missed
       from passes where ${where.text} group by passes.bars`,
    )
    .all(...where.values) as unknown as BarsCount[];
  return rows.map((row) => ({ ...row }));
}

function readBests(database: DatabaseSync, asked: BarsAsked): BestOfDay[] {
  const where = passesIn(asked);
  const rows = database
    .prepare(
      `select day as date, max(quarters) as quarters from passes
       where ${where.text} and verdict = 'clean' group by day order by day`,
    )
    .all(...where.values) as unknown as BestOfDay[];
  return rows.map((row) => ({ ...row }));
}

function readBars(database: DatabaseSync, fingerprints: readonly string[]): PlayedUnit[] {
  const one = database.prepare('select record, sum from bars where fingerprint = ?');
  return fingerprints.flatMap((fingerprint) => {
    const row = one.get(fingerprint) as { record: string; sum: number } | undefined;
    return row && sumOf(row.record) === row.sum ? [JSON.parse(row.record) as PlayedUnit] : [];
  });
}

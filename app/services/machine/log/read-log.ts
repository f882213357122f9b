// The questions asked of the log: passes of a unit, of a day, the last few; tallies by unit and by day; bars as played.
import type { DatabaseSync, SQLInputValue } from 'node:sqlite';
import { settlePasses } from '../../../core/log/history.ts';
import type { Amendment, PassRecord, PlayedUnit } from '../../../core/model/pass.ts';
import type {
  DayTally,
  LogFilter,
  PassQuery,
  UnitTally,
  VerdictCounts,
} from '../../contract/log-queries.ts';
import {
  restorePass,
  searchedKey,
  type Sittings,
  type StoredPass,
  sumOf,
  sumOfPass,
  withCurrentKey,
} from './stored-form.ts';

export interface LogReader {
  /** Settled, in time order. Records that were changed by a fault are left out and counted. */
  readonly passes: (query: PassQuery) => {
    readonly passes: PassRecord[];
    readonly changed: number;
  };
  /** Latest played first. */
  readonly units: (filter: LogFilter) => UnitTally[];
  /** Earliest first. */
  readonly days: (filter: LogFilter) => DayTally[];
  /** Those of the fingerprints that are known. */
  readonly bars: (fingerprints: readonly string[]) => PlayedUnit[];
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
    units: (filter) => readUnits(database, filter),
    days: (filter) => readDays(database, filter),
    bars: (fingerprints) => readBars(database, fingerprints),
    has: (desk) => database.prepare('select 1 from desks where name = ?').get(desk) !== undefined,
  };
}

const PASS = `from passes
  join desks on desks.ref = passes.desk
  join units on units.ref = passes.unit
  join bars on bars.ref = passes.bars
  join sittings on sittings.ref = passes.sitting`;

function readPasses(database: DatabaseSync, query: PassQuery) {
  const { desk, chart, unit, bars, since, until, latest } = query;
  const where = allOf(
    ['desks.name = ?', desk],
    ['units.chart = ?', chart],
    ['units.unit = ?', keyIn(unit)],
    ['bars.fingerprint = ?', bars],
    ['passes.day >= ?', since],
    ['passes.day <= ?', until],
  );
  const rows = database
    .prepare(
      `select passes.id, passes.record, passes.sum, sittings.record as sitting ${PASS}
       where ${where.text} order by instant desc, row desc ${latest === undefined ? '' : 'limit ?'}`,
    )
    .all(...where.values, ...(latest === undefined ? [] : [latest])) as unknown as (StoredPass & {
    readonly sum: number;
  })[];
  const whole = rows.filter((row) => sumOfPass(row) === row.sum).reverse();
  const sittings: Sittings = new Map();
  const passes = whole.map((row) => withCurrentKey(restorePass(row, sittings)));
  const words = readWords(database, where);
  return {
    passes: settlePasses(passes, words.amendments),
    changed: rows.length - whole.length + words.changed,
  };
}

/** What was said later about passes that meet the conditions. */
function readWords(database: DatabaseSync, where: Where) {
  const rows = database
    .prepare(
      `select amendments.record, amendments.sum from amendments
       where exists (select 1 ${PASS}
         where passes.desk = amendments.desk and passes.id = amendments.pass and ${where.text})
       order by amendments.row`,
    )
    .all(...where.values) as unknown as { record: string; sum: number }[];
  const whole = rows.filter(({ record, sum }) => sumOf(record) === sum);
  return {
    amendments: whole.map(({ record }) => JSON.parse(record) as Amendment),
    changed: rows.length - whole.length,
  };
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
      `select units.ref, count(distinct day) as days, max(day) as lastDay, ${COUNTS} ${TALLIES} where ${where.text} group by units.ref`,
    )
    .all(...where.values) as unknown as (CountRow & {
    ref: number;
    days: number;
    lastDay: string;
  })[];
  const last = database.prepare(
    `select passes.id, passes.record, passes.sum, sittings.record as sitting from passes
     join sittings on sittings.ref = passes.sitting
     where unit = ? and day = ? order by instant desc limit 1`,
  );
  return rows
    .map((row): UnitTally => {
      const pass = withCurrentKey(
        restorePass(last.get(row.ref, row.lastDay) as unknown as StoredPass),
      );
      return {
        ...countsOf(row),
        days: row.days,
        chart: pass.chart,
        unit: pass.unit,
        beat: pass.rung.beat,
        target: pass.rung.target,
        lastPlayed: pass.at,
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
  return rows.map((row) => ({ date: row.day, ...countsOf(row) }));
}

function readBars(database: DatabaseSync, fingerprints: readonly string[]): PlayedUnit[] {
  const one = database.prepare('select record, sum from bars where fingerprint = ?');
  return fingerprints.flatMap((fingerprint) => {
    const row = one.get(fingerprint) as { record: string; sum: number } | undefined;
    return row && sumOf(row.record) === row.sum ? [JSON.parse(row.record) as PlayedUnit] : [];
  });
}

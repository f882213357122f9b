// The questions asked of the log: passes of a unit, of a day, the last few; tallies by unit and by day; bars as played.
import type { DatabaseSync } from 'node:sqlite';
import { eachOf } from '../../../core/base/each-of.ts';
import type { IsoDate } from '../../../core/base/units.ts';
import { withShare } from '../../../core/log/tally.ts';
import {
  PASS_VERDICTS,
  type PassRecord,
  type PlayedUnit,
  VERDICT_SOURCES,
  type WordOnPass,
} from '../../../core/model/pass.ts';
import type { ChangeTally } from '../../../core/progress/changes.ts';
import type { LessonFacts } from '../../../core/progress/lesson-facts.ts';
import type { UnitStanding } from '../../../core/progress/standing.ts';
import type {
  BarsAsked,
  BarsCount,
  BestOfDay,
  CountsAsked,
  DayTally,
  LessonQuery,
  LogFilter,
  PassQuery,
  Places,
  PlacesQuery,
  StandingAsked,
  UnitTally,
  VerdictCounts,
} from '../../contract/log-queries.ts';
import { Kept } from './kept.ts';
import { allOf, keyIn, unitsPlayed, type Where } from './pairs.ts';
import { type FoundPasses, passesIn, readPasses, readWords } from './read-passes.ts';
import { readStandings } from './read-standings.ts';
import { restorePass, type StoredPass, sumOf, withCurrentKeys } from './stored-form.ts';
import { prepared } from './prepared.ts';

export interface LogReader {
  readonly passes: (query: PassQuery) => FoundPasses;
  /** Those that say where these bars stand as of a day. */
  readonly lately: (asked: BarsAsked & { readonly asOf: IsoDate }) => readonly PassRecord[];
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
  /** Where these bars stand. */
  readonly standing: (desk: string, asked: StandingAsked) => UnitStanding;
  /** The change that broke most in so many of their latest passes; null where none did. */
  readonly worst: (asked: BarsAsked & { readonly latest: number }) => ChangeTally | null;
  /** Where what is set stands. */
  readonly places: (query: PlacesQuery) => Places;
  /** What the page before a lesson says of the log. */
  readonly lesson: (query: LessonQuery) => LessonFacts;
  /** The teacher's latest word on each pass that has one. */
  readonly words: (desk: string) => readonly WordOnPass[];
  readonly has: (desk: string) => boolean;
}

/**
 * Answers the log's questions by SQL. @param kept answers of earlier times, which are given again while nothing has
 * changed
 */
export function readLog(database: DatabaseSync, kept = new Kept(database)): LogReader {
  return {
    passes: (query) => readPasses(database, query),
    units: (filter) => readUnits(database, kept, filter),
    counts: (asked) => readCounts(database, asked),
    bests: (asked) => readBests(database, asked),
    days: (filter) => readDays(database, filter),
    bars: (fingerprints) => readBars(database, fingerprints),
    words: (desk) => readWords(database, desk),
    ...readStandings(database, kept, (filter) => readDays(database, filter)),
    has: (desk) => prepared(database, 'select 1 from desks where name = ?').get(desk) !== undefined,
  };
}

/** Counts by verdict, minutes, judges and the fastest clean tempo, of grouped tallies. */
const COUNTS = `${PASS_VERDICTS.map((verdict) => `sum(iif(verdict = '${verdict}', passes, 0)) as ${verdict}`).join(', ')},
  ${VERDICT_SOURCES.map((source) => `sum(iif(verdict <> 'unjudged' and source = '${source}', passes, 0)) as ${source}`).join(', ')},
  sum(seconds) / 60 as minutes,
  max(iif(verdict = 'clean', fastest, null)) as fastest`;

type CountRow = Omit<VerdictCounts, 'judgedBy' | 'shareClean'> &
  VerdictCounts['judgedBy'] & { readonly fastest: number | null };

function countsOf(row: CountRow): VerdictCounts {
  return withShare({
    ...eachOf(PASS_VERDICTS, (verdict) => row[verdict]),
    minutes: row.minutes,
    judgedBy: eachOf(VERDICT_SOURCES, (source) => row[source]),
  });
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

function readUnits(database: DatabaseSync, kept: Kept, filter: LogFilter): UnitTally[] {
  const { desk, chart, unit, since, until, judge } = filter;
  const all = since === undefined && until === undefined && judge === undefined;
  const found = all
    ? unitsPlayed(database, { desk, chart, unit }).flatMap(({ ref, mark }) =>
        kept.inLog(`unit ${ref}`, mark, () =>
          readTallies(database, { text: 'tallies.unit = ?', values: [ref] }),
        ),
      )
    : readTallies(database, filtered(filter), judge);
  return found.sort((a, b) => Date.parse(b.lastPlayed) - Date.parse(a.lastPlayed));
}

/** @param judge whose passes alone may be the latest */
function readTallies(database: DatabaseSync, where: Where, judge?: string): UnitTally[] {
  const rows = prepared(
    database,
    `select tallies.unit as ref, count(distinct day) as days, min(day) as since, max(day) as lastDay, ${COUNTS}
       ${TALLIES} where ${where.text} group by tallies.unit`,
  ).all(...where.values) as unknown as (CountRow & {
    ref: number;
    days: number;
    since: string;
    lastDay: string;
  })[];
  // The latest moment lies on the last day or, where the player travelled, on the one before.
  const [fits, ...judges] =
    judge === undefined ? [''] : [`and verdict <> 'unjudged' and source = ?`, judge];
  const last = prepared(
    database,
    `select passes.id, passes.record, passes.sum, sittings.record as sitting from passes
     join sittings on sittings.ref = passes.sitting
     where unit = ? and day between date(?, '-1 day') and ? ${fits} order by instant desc, passes.id desc limit 1`,
  );
  return rows.map((row): UnitTally => {
    const [pass] = withCurrentKeys([
      restorePass(last.get(row.ref, row.lastDay, row.lastDay, ...judges) as unknown as StoredPass),
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
  });
}

function readDays(database: DatabaseSync, filter: LogFilter): DayTally[] {
  const where = filtered(filter);
  const rows = prepared(
    database,
    `select day, ${COUNTS} ${TALLIES} where ${where.text} group by day order by day`,
  ).all(...where.values) as unknown as (CountRow & { day: string })[];
  return rows.map((row) => ({
    date: row.day,
    ...countsOf(row),
    ...(row.fastest === null ? {} : { fastestQuarters: row.fastest }),
  }));
}

function readCounts(database: DatabaseSync, asked: CountsAsked): BarsCount[] {
  const where = passesIn(database, asked);
  const rows = prepared(
    database,
    `select (select fingerprint from bars where ref = passes.bars) as bars,
         sum(verdict = 'clean') as clean, sum(verdict = 'missed') as missed
       from passes where ${where.text} group by passes.bars`,
  ).all(...where.values) as unknown as BarsCount[];
  return rows.map((row) => ({ ...row }));
}

function readBests(database: DatabaseSync, asked: BarsAsked): BestOfDay[] {
  const where = passesIn(database, asked);
  const rows = prepared(
    database,
    `select day as date, max(quarters) as quarters from passes
       where ${where.text} and verdict = 'clean' group by day order by day`,
  ).all(...where.values) as unknown as BestOfDay[];
  return rows.map((row) => ({ ...row }));
}

function readBars(database: DatabaseSync, fingerprints: readonly string[]): PlayedUnit[] {
  const one = prepared(database, 'select record, sum from bars where fingerprint = ?');
  return fingerprints.flatMap((fingerprint) => {
    const row = one.get(fingerprint) as { record: string; sum: number } | undefined;
    return row && sumOf(row.record) === row.sum ? [JSON.parse(row.record) as PlayedUnit] : [];
  });
}

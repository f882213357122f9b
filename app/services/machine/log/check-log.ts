// Is the log what was written? A quick look at its pages, or every page, every record against its sum, every tally.
import type { DatabaseSync } from 'node:sqlite';
import { instantOf, settlePasses } from '../../../core/log/history.ts';
import { localDate } from '../../../core/log/days.ts';
import { formOf } from './log-schema.ts';
import { inBeat } from '../../../core/rhythm/pulse.ts';
import type { Amendment } from '../../../core/model/pass.ts';
import { todaysKey } from '../../../core/units/keys.ts';
import { restorePass, type Sittings, type StoredPass, sumOf, sumOfPass } from './stored-form.ts';

/** What is wrong with it, in words; undefined when nothing is. */
export type Flaw = string | undefined;

/** What SQLite's quick check finds; undefined where the file is sound. */
export function quickFlaw(database: DatabaseSync): Flaw {
  return pragmaFlaw(database, 'quick_check');
}

/** The first flaw of the full check, which reads every row; undefined where there is none. */
export function fullFlaw(database: DatabaseSync): Flaw {
  for (const flaw of fullCheck(database)) if (flaw !== undefined) return flaw;
  return undefined;
}

/** The whole check in steps of some milliseconds, between which the log may be used. Ends with the first flaw. */
export function* fullCheck(database: DatabaseSync): Generator<Flaw, void> {
  yield pragmaFlaw(database, 'integrity_check');
  for (const table of ['bars', 'sittings', 'amendments']) yield sumFlaw(database, table);
  yield* passFlaws(database);
  yield tallyFlaw(database);
  yield pairFlaw(database);
}

function pragmaFlaw(database: DatabaseSync, check: string): Flaw {
  const [first] = database.prepare(`pragma ${check}(1)`).all();
  const said = String(Object.values(first ?? {})[0]);
  if (said === 'ok') return undefined;
  return `its pages do not fit together (${said})`;
}

function sumFlaw(database: DatabaseSync, table: string): Flaw {
  const rows = database.prepare(`select record, sum from ${table}`).iterate();
  for (const row of rows as Iterable<{ record: string; sum: number }>) {
    if (sumOf(row.record) !== row.sum) return `a record in it was changed (${table})`;
  }
  return undefined;
}

type Row = StoredPass & {
  readonly row: number;
  readonly sum: number;
  readonly chart: string;
  readonly unit: string;
  readonly fingerprint: string;
  readonly instant: number;
  readonly day: string;
  readonly quarters: number;
  readonly seconds: number;
  readonly verdict: string;
  readonly source: string;
  readonly words: string | null;
};

/** Passes looked at in one step. */
const STEP = 500;

/** Each pass against its sum, and the columns it is found and counted by against the pass. */
function* passFlaws(database: DatabaseSync): Generator<Flaw, void> {
  const some = database.prepare(
    `select passes.row, passes.id, passes.record, passes.sum, sittings.record as sitting, units.chart, units.unit,
         bars.fingerprint, instant, day, quarters, seconds, verdict, source,
         (select json_group_array(json(record)) from
           (select record from amendments where desk = passes.desk and pass = passes.id order by row)) as words
       from passes left join sittings on sittings.ref = sitting left join units on units.ref = passes.unit
         left join bars on bars.ref = passes.bars
       where row > ? order by row limit ${STEP}`,
  );
  for (let after = 0; ;) {
    const rows = some.all(after) as unknown as Row[];
    if (rows.length === 0) return;
    const sittings: Sittings = new Map();
    yield rows.every((row) => fits(row, sittings)) ? undefined : 'a pass in it was changed';
    after = rows.at(-1)!.row;
  }
}

function fits(row: Row, sittings: Sittings): boolean {
  if (row.sitting === null || sumOfPass(row) !== row.sum) return false;
  const pass = restorePass(row, sittings);
  const words = JSON.parse(row.words ?? '[]') as Amendment[];
  const [settled] = settlePasses([pass], words);
  return (
    row.chart === pass.chart.id &&
    todaysKey(row.unit) === todaysKey(pass.unit.key) &&
    row.fingerprint === pass.unit.fingerprint &&
    row.instant === instantOf(pass.at) &&
    row.day === localDate(pass.at) &&
    row.quarters === inBeat(pass.rung.bpm, pass.rung.beat, 'quarter') &&
    row.seconds === pass.duration &&
    row.verdict === settled!.verdict &&
    row.source === settled!.source
  );
}

const COUNTED = `select unit, day, verdict, source, count(*) as n, sum(seconds) as took, max(quarters) as best
  from passes group by 1, 2, 3, 4`;

/** Seconds are added up in another order than they were, so their last digits may differ. */
const DIFFERING = `select count(*) as n from (${COUNTED})
  full outer join tallies using (unit, day, verdict, source)
  where n is not passes or best is not fastest or abs(took - seconds) > 1e-6`;

function tallyFlaw(database: DatabaseSync): Flaw {
  const differing = database.prepare(DIFFERING).get() as { n: number };
  return differing.n === 0 ? undefined : 'its tallies do not fit its passes';
}

const PAIRS_LACKING = `select 1 from (select distinct unit, bars from passes)
  left join played using (unit, bars) where changed is null limit 1`;

/** By these pairs passes are found; a copy of the first form has none. */
const pairFlaw = (database: DatabaseSync): Flaw =>
  formOf(database) > 1 && database.prepare(PAIRS_LACKING).get()
    ? 'its list of what was played is not whole'
    : undefined;

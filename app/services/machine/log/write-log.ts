// Writes facts into the log: each once, all of a call or none, and the tallies along with them.
import type { DatabaseSync } from 'node:sqlite';
import { instantOf, settlePasses } from '../../../core/log/history.ts';
import { localDate } from '../../../core/log/days.ts';
import type { Amendment, LogEntry, PassRecord, PlayedUnit } from '../../../core/model/pass.ts';
import { inBeat } from '../../../core/rhythm/pulse.ts';
import { todaysKey } from '../../../core/units/keys.ts';
import { countForgotten } from './forget-desks.ts';
import { inTransaction } from './log-schema.ts';
import {
  restorePass,
  storeAmendment,
  storePass,
  storeUnit,
  sumOf,
  sumOfPass,
} from './stored-form.ts';

/** @throws Error where they could not be written; the log is then as it was. */
export type WriteEntries = (desk: string, entries: readonly LogEntry[]) => void;

interface PassRow {
  readonly row: number;
  readonly unit: number;
  readonly day: string;
  readonly id: string;
  readonly record: string;
  readonly sitting: string;
}

/** The returned function writes all entries of a desk or, where it throws, none. */
export function writeLog(database: DatabaseSync): WriteEntries {
  const statements = prepare(database);
  return (desk, entries) => inTransaction(database, () => writeEntries(statements, desk, entries));
}

/** What was said on passes of a desk, as it stands in the log. */
export function readWordsOn(database: DatabaseSync): (desk: string, pass: string) => Amendment[] {
  const words = database.prepare(
    `select record from amendments join desks on desks.ref = amendments.desk
     where desks.name = ? and pass = ? order by row`,
  );
  return (desk, pass) =>
    (words.all(desk, pass) as unknown as { record: string }[]).map(
      ({ record }) => JSON.parse(record) as Amendment,
    );
}

type Statements = ReturnType<typeof prepare>;

/** Takes facts out again, by the rows they were written to: of each kind, first and last. */
export interface WrittenRows {
  readonly passes: readonly (readonly [first: number, last: number])[];
  readonly amendments: readonly (readonly [first: number, last: number])[];
}

/** All of it or none. Returns how many passes went. @throws Error where the log could not be written. */
export function unwriteLog(database: DatabaseSync, rows: WrittenRows): number {
  const statements = prepare(database);
  return inTransaction(database, () => {
    countForgotten(database);
    return unwriteRows(database, statements, rows);
  });
}

function unwriteRows(database: DatabaseSync, to: Statements, rows: WrittenRows): number {
  const touched = new Touched();
  const between = 'where row between ? and ?';
  const words = rows.amendments.flatMap(
    (span) =>
      database.prepare(`select desk, pass from amendments ${between}`).all(...span) as unknown as {
        desk: number;
        pass: string;
      }[],
  );
  for (const span of rows.amendments)
    database.prepare(`delete from amendments ${between}`).run(...span);
  let gone = 0;
  for (const span of rows.passes) {
    const places = database.prepare(`select distinct unit, day from passes ${between}`);
    for (const place of places.all(...span) as unknown as TallyPlace[]) touched.add(place);
    gone += Number(database.prepare(`delete from passes ${between}`).run(...span).changes);
  }
  // With no word left a pass has its own verdict again.
  for (const { desk, pass } of words)
    touched.add(settleBy(to, desk, pass, wordsOn(to, desk, pass)));
  touched.tallyAnew(to);
  return gone;
}

/** What a tally counts: the passes of a unit on a day. */
interface TallyPlace {
  readonly unit: number;
  readonly day: string;
}

/** The tallies that are no longer right: those of passes that went, or whose verdict changed. */
class Touched {
  readonly #places = new Map<string, TallyPlace>();

  add(place: TallyPlace | undefined): void {
    if (place) this.#places.set(`${place.unit} ${place.day}`, place);
  }

  tallyAnew(to: Statements): void {
    for (const { unit, day } of this.#places.values()) {
      to.forget.run(unit, day);
      to.tally.run(unit, day);
    }
  }
}

const prepare = (database: DatabaseSync) => ({
  desk: finding(database, 'desks', ['name']),
  unit: finding(database, 'units', ['desk', 'chart', 'unit']),
  sitting: finding(database, 'sittings', ['record'], ['sum']),
  bars: finding(database, 'bars', ['fingerprint'], ['record', 'sum']),
  pass: database.prepare(
    `insert into passes (desk, id, unit, bars, sitting, instant, day, verdict, source, quarters, seconds, record, sum)
     values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?) on conflict do nothing`,
  ),
  amendment: database.prepare(
    'insert into amendments (desk, pass, record, sum) values (?, ?, ?, ?) on conflict do nothing',
  ),
  passById: database.prepare(
    `select row, unit, day, id, passes.record, sittings.record as sitting
     from passes join sittings on sittings.ref = sitting where desk = ? and id = ?`,
  ),
  amendmentsOf: database.prepare(
    'select record from amendments where desk = ? and pass = ? order by row',
  ),
  settle: database.prepare('update passes set verdict = ?, source = ? where row = ?'),
  count: database.prepare(
    `insert into tallies (unit, day, verdict, source, passes, seconds, fastest)
     values (?, ?, ?, ?, 1, ?, ?) on conflict do update set
     passes = passes + 1, seconds = seconds + excluded.seconds, fastest = max(fastest, excluded.fastest)`,
  ),
  forget: database.prepare('delete from tallies where unit = ? and day = ?'),
  tally: database.prepare(`${COUNTED} where unit = ? and day = ? group by 1, 2, 3, 4`),
});

/** Fills the tallies from the passes. */
const COUNTED = `insert into tallies (unit, day, verdict, source, passes, seconds, fastest)
  select unit, day, verdict, source, count(*), sum(seconds), max(quarters) from passes`;

type Values = readonly (string | number)[];

/** The row with these keys, made where it is not there: only then the values of its further columns are asked for. */
function finding(
  database: DatabaseSync,
  table: string,
  keys: readonly string[],
  further: readonly string[] = [],
): (values: Values, more?: () => Values) => number {
  const all = [...keys, ...further];
  const select = database.prepare(
    `select ref from ${table} where ${keys.map((key) => `${key} = ?`).join(' and ')}`,
  );
  const insert = database.prepare(
    `insert into ${table} (${all.join(', ')}) values (${all.map(() => '?').join(', ')})`,
  );
  return (values, more = () => []) => {
    const found = select.get(...values) as { ref: number } | undefined;
    return found ? found.ref : Number(insert.run(...values, ...more()).lastInsertRowid);
  };
}

function writeEntries(to: Statements, name: string, entries: readonly LogEntry[]): void {
  const desk = to.desk([name]);
  const touched = new Touched();
  const amended = new Set<string>();
  for (const entry of entries) {
    if (entry.kind === 'amendment') {
      writeAmendment(to, desk, entry.amendment);
      amended.add(entry.amendment.amends);
      continue;
    }
    // A word may have come before the pass it is about.
    if (writePass(to, desk, entry.pass, entry.unit)) amended.add(entry.pass.id);
  }
  for (const id of amended) {
    const words = wordsOn(to, desk, id);
    if (words.length > 0) touched.add(settleBy(to, desk, id, words));
  }
  touched.tallyAnew(to);
}

/** Writes and counts it; false where the pass is there already. */
function writePass(to: Statements, desk: number, pass: PassRecord, played: PlayedUnit): boolean {
  const stored = storePass(pass);
  const day = localDate(pass.at);
  const quarters = inBeat(pass.rung.bpm, pass.rung.beat, 'quarter');
  const unit = to.unit([desk, pass.chart.id, todaysKey(pass.unit.key)]);
  const { changes } = to.pass.run(
    desk,
    pass.id,
    unit,
    to.bars([played.fingerprint], () => sealed(storeUnit(played))),
    to.sitting([stored.sitting], () => [sumOf(stored.sitting)]),
    instantOf(pass.at),
    day,
    pass.verdict,
    pass.source,
    quarters,
    pass.duration,
    stored.record,
    sumOfPass(stored),
  );
  if (changes === 0) return false;
  to.count.run(unit, day, pass.verdict, pass.source, pass.duration, quarters);
  return true;
}

const sealed = (record: string): Values => [record, sumOf(record)];

function writeAmendment(to: Statements, desk: number, amendment: Amendment): void {
  const record = storeAmendment(amendment);
  to.amendment.run(desk, amendment.amends, record, sumOf(record));
}

const wordsOn = (to: Statements, desk: number, pass: string): readonly Amendment[] =>
  (to.amendmentsOf.all(desk, pass) as unknown as { record: string }[]).map(
    ({ record }) => JSON.parse(record) as Amendment,
  );

/** Gives the pass the verdict that stands after all words on it; undefined where it is not there. */
function settleBy(
  to: Statements,
  desk: number,
  id: string,
  words: readonly Amendment[],
): PassRow | undefined {
  const found = to.passById.get(desk, id) as PassRow | undefined;
  if (!found) return undefined;
  const [settled] = settlePasses([restorePass(found)], words);
  to.settle.run(settled!.verdict, settled!.source, found.row);
  return found;
}

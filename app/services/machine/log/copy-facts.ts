// Takes every whole fact out of a log, also out of a damaged one, and puts it into another: each once.
import type { DatabaseSync } from 'node:sqlite';
import { OWN_DESK } from '../../../core/progress/assignment.ts';
import type { Amendment, LogEntry, PlayedUnit } from '../../../core/model/pass.ts';
import { restorePass, type StoredPass, sumOf, sumOfPass } from './stored-form.ts';
import type { WriteEntries } from './write-log.ts';
import { attempt } from '../store/durable.ts';

const BATCH = 500;
/** After so many rows in a row that cannot be read, nothing more is expected. */
const GIVE_UP = 20_000;

interface Sealed {
  readonly row: number;
  readonly desk: string;
  readonly sum: number;
}
export type PassRow = Sealed & StoredPass & { readonly bars: string; readonly barsSum: number };
export type WordRow = Sealed & { readonly record: string };

export const PASSES = `select row, desks.name as desk, passes.id, passes.record, passes.sum, sittings.record as sitting,
    bars.record as bars, bars.sum as barsSum
  from passes join desks on desks.ref = passes.desk join sittings on sittings.ref = passes.sitting
    join bars on bars.ref = passes.bars`;
export const WORDS = `select row, desks.name as desk, record, sum from amendments
  join desks on desks.ref = amendments.desk`;

export interface Copied {
  readonly facts: number;
  /** Rows that could not be read, or are not what was written. */
  readonly lost: number;
}

/** Writes every fact whose sum is right, and counts the others as lost. */
export function copyFacts(from: DatabaseSync, write: WriteEntries): Copied {
  let facts = 0;
  let lost = 0;
  for (const batch of factsOf(from)) {
    write(batch.desk, batch.entries);
    facts += batch.entries.length;
    lost += batch.lost;
  }
  return { facts, lost };
}

interface Batch {
  readonly desk: string;
  readonly entries: readonly LogEntry[];
  readonly lost: number;
}

/** All whole facts, some hundred at a time: passes first, then words on them. */
export function* factsOf(from: DatabaseSync): Generator<Batch> {
  yield* rowsOf<PassRow>(from, PASSES, passOf);
  yield* rowsOf<WordRow>(from, WORDS, wordOf);
}

/** Undefined where the row or its bars are not as they were written. */
export function passOf(row: PassRow): LogEntry | undefined {
  if (sumOfPass(row) !== row.sum || sumOf(row.bars) !== row.barsSum) return undefined;
  return { kind: 'pass', pass: restorePass(row), unit: JSON.parse(row.bars) as PlayedUnit };
}

/** Undefined where the row is not as it was written. */
export const wordOf = ({ record, sum }: WordRow): LogEntry | undefined =>
  sumOf(record) === sum
    ? { kind: 'amendment', amendment: JSON.parse(record) as Amendment }
    : undefined;

function* rowsOf<R extends Sealed>(
  from: DatabaseSync,
  select: string,
  read: (row: R) => LogEntry | undefined,
): Generator<Batch> {
  let unread = 0;
  for (const rows of batches<R>(from, select, () => unread++)) {
    for (const [desk, those] of Map.groupBy(rows, (row) => row.desk)) {
      const entries = those.flatMap((row) => read(row) ?? []);
      yield { desk, entries, lost: those.length - entries.length + unread };
      unread = 0;
    }
  }
  if (unread > 0) yield { desk: OWN_DESK, entries: [], lost: unread };
}

/** Rows by their number; where a batch cannot be read, its rows one by one. */
function* batches<R extends Sealed>(
  from: DatabaseSync,
  select: string,
  onLost: () => void,
): Generator<R[]> {
  const asked = attempt(() => ({
    some: from.prepare(`${select} where row > ? order by row limit ${BATCH}`),
    single: from.prepare(`${select} where row = ?`),
  }));
  // A database in which the tables themselves cannot be found has no row that can be read.
  if (!asked) return onLost();
  let after = 0;
  let bad = 0;
  for (;;) {
    const rows = attempt(() => asked.some.all(after)) as R[] | undefined;
    if (rows?.length === 0) return;
    if (rows) {
      bad = 0;
      yield rows;
      after = rows.at(-1)!.row;
      continue;
    }
    for (let row = after + 1; row <= after + BATCH; row++) {
      // What SQLite cannot read it throws about; such rows are counted, not fatal.
      const one = attempt(() => asked.single.get(row)) as R | undefined;
      if (one) yield [one];
      else onLost();
    }
    after += BATCH;
    bad += BATCH;
    if (bad >= GIVE_UP) return;
  }
}

// A data folder of the form before this one (months of the log as JSON) is taken over: wholly, once, and proven
// before its old files are put away. Killed in the middle, it begins again; a fact counts once.
import fs from 'node:fs';
import path from 'node:path';
import { OWN_DESK } from '../../../core/progress/assignment.ts';
import type { LogEntry } from '../../../core/model/pass.ts';
import type { Problem } from '../../../core/base/result.ts';
import type { LogStore } from '../log/log-store.ts';
import { storeAmendment, sumOf } from '../log/stored-form.ts';
import type { SafeKeeping } from '../store/backups.ts';
import { inWords } from '../store/durable.ts';
import type { FileKind } from '../store/store-file.ts';
import { readStoreFile } from '../store/store-file.ts';
import { readJournal } from './journal.ts';
import { flawOfPackedLog, type PackedLog, unpackLog } from './packed-log.ts';
import { makeFolder } from '../store/make-folder.ts';

/** Where old files are kept after they were taken over. */
const OLD_FORM = 'old-form';

/** Returns what was found wrong. Old files stay at their place where something in them could not be taken over. */
export function takeOverLogs(log: LogStore, keeping: SafeKeeping): readonly Problem[] {
  const { root } = keeping;
  const students = path.join(root, 'logs');
  const own = [{ desk: OWN_DESK, folder: path.join(root, 'log') }];
  const theirs = foldersIn(students).map((desk) => ({ desk, folder: path.join(students, desk) }));
  return [...own, ...theirs]
    .filter(({ folder }) => fs.statSync(folder, { throwIfNoEntry: false })?.isDirectory())
    .flatMap(({ desk, folder }) => takeOver(log, desk, folder, keeping));
}

const foldersIn = (folder: string): readonly string[] =>
  fs.existsSync(folder) ? fs.readdirSync(folder) : [];

const monthKind = (month: string): FileKind<Partial<PackedLog>> => ({
  what: `the log of ${month}`,
  schemaVersion: 2,
  // Version 2 admits a teacher's words among the amendments; what version 1 holds is right as it stands.
  migrations: [(raw) => raw],
  flaw: flawOfPackedLog,
  empty: () => ({}),
});

function takeOver(
  log: LogStore,
  desk: string,
  folder: string,
  keeping: SafeKeeping,
): readonly Problem[] {
  try {
    const problems: Problem[] = [];
    let whole = true;
    for (const month of monthsIn(folder)) {
      const file = readStoreFile(path.join(folder, `${month}.json`), monthKind(month), keeping);
      problems.push(...file.problems);
      whole &&= file.writable;
      if (file.value.id) write(log, desk, unpackLog(file.value as PackedLog));
    }
    const journal = readJournal(path.join(folder, 'journal.jsonl'), keeping);
    problems.push(...journal.problems);
    write(log, desk, journal.entries);
    if (whole && journal.whole) putAway(folder, keeping.root);
    return problems;
  } catch (error) {
    return [notTaken(folder, error)];
  }
}

/** Written, and read back: each entry must stand in the log as it came. @throws Error where one does not. */
function write(log: LogStore, desk: string, entries: readonly LogEntry[]): void {
  log.write(desk, entries);
  const pass = log.database.prepare(
    'select sum from passes join desks on desks.ref = desk where name = ? and id = ?',
  );
  const word = log.database.prepare(
    'select 1 from amendments join desks on desks.ref = desk where name = ? and pass = ? and record = ? and sum = ?',
  );
  for (const entry of entries) {
    if (entry.kind === 'amendment') {
      const record = storeAmendment(entry.amendment);
      if (word.get(desk, entry.amendment.amends, record, sumOf(record))) continue;
      throw new Error('a word on a pass did not arrive');
    }
    const { id } = entry.pass;
    if (pass.get(desk, id) === undefined) throw new Error(`the pass ${id} did not arrive`);
  }
}

const monthsIn = (folder: string): readonly string[] =>
  fs
    .readdirSync(folder)
    .filter((name) => /^\d{4}-\d\d\.json$/.test(name))
    .map((name) => name.slice(0, 7))
    .sort();

/** Moves what was taken over below `old-form/`; what stands there already keeps its name. */
export function putAway(file: string, root: string): void {
  const target = path.join(root, OLD_FORM, path.relative(root, file));
  makeFolder(path.dirname(target));
  for (let n = 1; ; n++) {
    const free = n === 1 ? target : `${target}-${n}`;
    if (fs.existsSync(free)) continue;
    fs.renameSync(file, free);
    return;
  }
}

const notTaken = (folder: string, error: unknown): Problem => ({
  code: 'not-taken-over',
  message: `The earlier log in ${folder} could not be taken over: ${inWords(error)}. It was left as it is.`,
  cure: 'Make room on the disk or allow writing to the data folder, then start Rungwise again.',
});

// The practice log on disk: one packed file per month, and the journal of what was appended since the last start.
import fs from 'node:fs';
import path from 'node:path';
import type { LogEntry } from '../../../core/model/pass.ts';
import type { Problem } from '../../../core/base/result.ts';
import { settle } from '../../../core/log/history.ts';
import type { PackedHistory, PackedLog } from '../../contract/packed-log.ts';
import { flawOfPackedLog, packLog, unpackLog } from '../../contract/packed-log.ts';
import type { SafeKeeping } from './backups.ts';
import type { Disk } from './journal.ts';
import { Journal } from './journal.ts';
import type { FileKind, StoreEngine, StoreFile } from './store-file.ts';
import { openStoreFile } from './store-file.ts';

export interface LogStore {
  /** Returns once the entries are on disk. @throws Error when they are not. */
  readonly append: (entries: readonly LogEntry[]) => void;
  /** Months that may hold anything from `since` on, and the journal; amendments of any later time included. */
  readonly history: (since?: string) => PackedHistory;
  /** What was found wrong when the log was opened. */
  readonly problems: readonly Problem[];
  readonly close: () => void;
}

interface LogStoreOptions {
  readonly directory: string;
  readonly engine: StoreEngine;
  readonly keeping: SafeKeeping;
  readonly disk?: Disk;
}

const monthKind = (month: string): FileKind<PackedLog> => ({
  what: `the log of ${month}`,
  schemaVersion: 2,
  // Version 2 admits a teacher's words among the amendments; what version 1 holds is right as it stands.
  migrations: [(raw) => raw],
  flaw: flawOfPackedLog,
  empty: () => packLog([]),
});

/** Opens the log and folds the journal of the last run into its months. */
export function openLogStore({ directory, engine, keeping, disk }: LogStoreOptions): LogStore {
  const openMonth = (month: string): StoreFile<PackedLog> =>
    openStoreFile(path.join(directory, `${month}.json`), monthKind(month), engine, keeping);
  const journal = new Journal(path.join(directory, 'journal.jsonl'), keeping, disk);
  const found = journal.read();
  const folded = fold(found.entries, openMonth);
  const kept = folded.all && found.foldable ? [] : found.entries;
  if (folded.all && found.foldable && found.entries.length > 0) journal.remove();
  const recent: LogEntry[] = [...kept];
  return {
    append: (entries) => {
      journal.append(entries);
      recent.push(...entries);
    },
    history: (since) => readHistory(directory, openMonth, recent, since),
    problems: [...found.problems, ...folded.problems],
    close: () => journal.close(),
  };
}

/** The month an entry is filed under: that of its own date, as the player's clock showed it. */
const monthOf = (entry: LogEntry): string =>
  (entry.kind === 'pass' ? entry.pass.at : entry.amendment.at).slice(0, 7);

interface Folded {
  /** Does every entry now stand in a month? */
  readonly all: boolean;
  readonly problems: readonly Problem[];
}

/** Writes entries into their months. Doing it twice changes nothing: a pass counts once by its id. */
function fold(
  entries: readonly LogEntry[],
  openMonth: (month: string) => StoreFile<PackedLog>,
): Folded {
  const problems: Problem[] = [];
  let all = true;
  for (const [month, ofMonth] of Map.groupBy(entries, monthOf)) {
    const file = openMonth(month);
    problems.push(...file.problems);
    try {
      file.save(merge(file.value, ofMonth));
    } catch {
      // The journal keeps what could not be filed, and the first append says what is wrong with the disk.
      all = false;
    }
  }
  return { all, problems };
}

function merge(month: PackedLog, entries: readonly LogEntry[]): PackedLog {
  const known = new Set<string>(month.id);
  const amended = new Set(month.amendments.map((a) => JSON.stringify(a)));
  const fresh = entries.filter((entry) => {
    const [set, key] =
      entry.kind === 'pass' ? [known, entry.pass.id] : [amended, JSON.stringify(entry.amendment)];
    if (set.has(key)) return false;
    set.add(key);
    return true;
  });
  const all = [...unpackLog(month), ...fresh];
  const inOrder = new Map(all.map((entry) => [keyOf(entry), entry]));
  const passes = settle(all.filter((entry) => entry.kind === 'pass'));
  return packLog([
    ...passes.map((pass) => inOrder.get(pass.id)!),
    ...all.filter((entry) => entry.kind === 'amendment'),
  ]);
}

const keyOf = (entry: LogEntry): string => (entry.kind === 'pass' ? entry.pass.id : '');

function readHistory(
  directory: string,
  openMonth: (month: string) => StoreFile<PackedLog>,
  recent: readonly LogEntry[],
  since?: string,
): PackedHistory {
  const months = monthsIn(directory, since).map(openMonth);
  return {
    parts: [...months.map((file) => file.value), packLog(recent)],
    problems: months.flatMap((file) => file.problems),
  };
}

/** One month earlier than `since` is read too: a date with another offset may stand there. */
function monthsIn(directory: string, since?: string): string[] {
  if (!fs.existsSync(directory)) return [];
  const first = since ? dayBefore(since).slice(0, 7) : '';
  return fs
    .readdirSync(directory)
    .filter((name) => /^\d{4}-\d\d\.json$/.test(name))
    .map((name) => name.slice(0, 7))
    .filter((month) => month >= first)
    .sort();
}

const dayBefore = (at: string): string =>
  new Date(Date.parse(at) - 24 * 60 * 60 * 1000).toISOString();

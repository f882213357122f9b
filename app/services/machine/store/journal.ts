// The append file of the log: one JSON line per fact, synced before it is acknowledged, folded into the
// months at the next start. A torn last line is a fact that was never acknowledged.
import fs from 'node:fs';
import path from 'node:path';
import type { Amendment, LogEntry, PlayedUnit } from '../../../core/model/pass.ts';
import type { Problem } from '../../../core/base/result.ts';
import { logEntrySchema, playedUnitSchema } from '../../contract/schemas.ts';
import type { SafeKeeping } from './backups.ts';
import { setAside } from './backups.ts';
import { inWords, readText, syncDirectory } from './durable.ts';

/** The newest form of a line that is understood. */
const LINE_VERSION = 2;
const NEWLINE = 0x0a;

export interface JournalContent {
  readonly entries: readonly LogEntry[];
  readonly problems: readonly Problem[];
  /** False when lines of a newer version stand in it, or it cannot be read: it must then be kept. */
  readonly foldable: boolean;
}

/** How bytes reach the disk; tests put a full one here. */
export interface Disk {
  readonly write: (handle: number, bytes: Uint8Array, offset: number) => number;
  readonly sync: (handle: number) => void;
}

export const realDisk: Disk = {
  write: (handle, bytes, offset) => fs.writeSync(handle, bytes, offset),
  sync: (handle) => fs.fdatasyncSync(handle),
};

/** The journal of one data directory, open for appending from the first append on. */
export class Journal {
  readonly file: string;
  readonly #keeping: SafeKeeping;
  readonly #disk: Disk;
  /** Fingerprints whose bars stand in the file already. */
  #units = new Set<string>();
  #handle: number | undefined;

  constructor(file: string, keeping: SafeKeeping, disk: Disk = realDisk) {
    this.file = file;
    this.#keeping = keeping;
    this.#disk = disk;
  }

  /** Reads what stands in the file. Lines that cannot be understood are copied to set-aside with the file. */
  read(): JournalContent {
    const found = readText(this.file);
    if (found.kind === 'missing') return { entries: [], problems: [], foldable: true };
    if (found.kind === 'unreadable') return unreadable(this.file, found.reason);
    const lines = found.text.split('\n').filter((line) => line !== '');
    const { entries, units, flawed, newer } = readLines(lines);
    this.#units = new Set(units.keys());
    const problems = [
      ...(flawed > 0 ? this.#keepFlawed(flawed) : []),
      ...(newer > 0 ? [newerLines(newer, this.file)] : []),
    ];
    return { entries, problems, foldable: newer === 0 && !problems.some(mustKeep) };
  }

  /** Returns once every entry is on disk. @throws Error when they are not; the file is then as it was. */
  append(entries: readonly LogEntry[]): void {
    const fresh = new Map<string, PlayedUnit>();
    const text = entries.map((entry) => this.#linesOf(entry, fresh)).join('');
    const handle = (this.#handle ??= this.#open());
    const before = fs.fstatSync(handle).size;
    try {
      this.#writeAll(handle, Buffer.from(text));
      this.#disk.sync(handle);
    } catch (error) {
      this.#undo(handle, before);
      throw error;
    }
    for (const fingerprint of fresh.keys()) this.#units.add(fingerprint);
  }

  /** Removes the file once everything in it stands elsewhere. */
  remove(): void {
    this.close();
    fs.rmSync(this.file, { force: true });
    syncDirectory(path.dirname(this.file));
    this.#units.clear();
  }

  close(): void {
    if (this.#handle !== undefined) fs.closeSync(this.#handle);
    this.#handle = undefined;
  }

  #linesOf(entry: LogEntry, fresh: Map<string, PlayedUnit>): string {
    if (entry.kind === 'amendment') return amendmentLine(entry.amendment);
    const { unit, pass } = entry;
    if (this.#units.has(unit.fingerprint) || fresh.has(unit.fingerprint)) return line({ pass });
    fresh.set(unit.fingerprint, unit);
    return line({ unit }) + line({ pass });
  }

  #open(): number {
    fs.mkdirSync(path.dirname(this.file), { recursive: true });
    const isNew = !fs.existsSync(this.file);
    const handle = fs.openSync(this.file, 'a+');
    if (isNew) syncDirectory(path.dirname(this.file));
    else this.#endTornLine(handle);
    return handle;
  }

  /** So that what a crash left unfinished can never swallow the next line. */
  #endTornLine(handle: number): void {
    const { size } = fs.fstatSync(handle);
    if (size === 0) return;
    const last = Buffer.alloc(1);
    fs.readSync(handle, last, 0, 1, size - 1);
    if (last[0] !== NEWLINE) this.#writeAll(handle, Buffer.from('\n'));
  }

  #writeAll(handle: number, bytes: Uint8Array): void {
    for (let written = 0; written < bytes.length;) {
      written += this.#disk.write(handle, bytes, written);
    }
  }

  /** Takes a half-written append back, or at least has the next one start on a line of its own. */
  #undo(handle: number, size: number): void {
    try {
      fs.ftruncateSync(handle, size);
    } catch (error) {
      console.warn(`The log's append file could not be cut back: ${inWords(error)}.`);
    }
    this.close();
  }

  #keepFlawed(count: number): Problem[] {
    try {
      const aside = setAside(this.#keeping, this.file);
      return [
        {
          code: 'journal-set-aside',
          message: `${count === 1 ? 'One line' : `${count} lines`} of the latest log could not be understood (a crash can leave a torn last line). A copy was kept as ${aside}; everything else was read.`,
          cure: 'Nothing more is needed; keep the file if you want somebody to look into it.',
        },
      ];
    } catch (error) {
      return unreadable(
        this.file,
        `a copy could not be set aside: ${inWords(error)}`,
      ).problems.slice();
    }
  }
}

const line = (fact: object, v = 1): string => JSON.stringify({ v, ...fact }) + '\n';

/** Version 1 knew no teacher's words: it keeps such a line unread instead of taking it for a torn one. */
const amendmentLine = (amendment: Amendment): string =>
  line({ amendment }, amendment.source === 'teacher' ? 2 : 1);

interface Lines {
  readonly entries: LogEntry[];
  readonly units: Map<string, PlayedUnit>;
  flawed: number;
  newer: number;
}

function readLines(lines: readonly string[]): Lines {
  const read: Lines = { entries: [], units: new Map(), flawed: 0, newer: 0 };
  for (const text of lines) readLine(text, read);
  return read;
}

function readLine(text: string, read: Lines): void {
  const fact = parsed(text);
  if (typeof fact?.v === 'number' && fact.v > LINE_VERSION) {
    read.newer++;
    return;
  }
  if (fact?.unit !== undefined) {
    const unit = playedUnitSchema.safeParse(fact.unit);
    if (unit.success) read.units.set(unit.data.fingerprint, unit.data);
    else read.flawed++;
    return;
  }
  const entry = logEntrySchema.safeParse(entryOf(fact, read.units));
  if (entry.success) read.entries.push(entry.data);
  else read.flawed++;
}

function parsed(text: string): Record<string, never> | undefined {
  try {
    const value: unknown = JSON.parse(text);
    return typeof value === 'object' && value !== null
      ? (value as Record<string, never>)
      : undefined;
  } catch {
    return undefined;
  }
}

function entryOf(
  fact: Record<string, unknown> | undefined,
  units: Map<string, PlayedUnit>,
): unknown {
  if (fact?.amendment !== undefined) return { kind: 'amendment', amendment: fact.amendment };
  const pass = fact?.pass as { unit?: { fingerprint?: string } } | undefined;
  return { kind: 'pass', pass, unit: units.get(pass?.unit?.fingerprint ?? '') };
}

const mustKeep = (problem: Problem): boolean => problem.code === 'journal-unreadable';

const unreadable = (file: string, reason: string): JournalContent => ({
  entries: [],
  problems: [
    {
      code: 'journal-unreadable',
      message: `The latest log (${file}) could not be read: ${reason}. It was left as it is.`,
      cure: 'Mend or move the file, then start Rungwise again.',
    },
  ],
  foldable: false,
});

const newerLines = (count: number, file: string): Problem => ({
  code: 'journal-newer',
  message: `${count} lines of the latest log (${file}) were written by a newer Rungwise and are not shown.`,
  cure: 'Update Rungwise; the lines are kept.',
});

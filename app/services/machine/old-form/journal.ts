// The append file of the log as it was kept before: one JSON line per fact. It is only read, when an old data
// folder is taken over. A torn last line is a fact that was never acknowledged.
import { checked } from '../../../core/base/checked.ts';
import type { LogEntry, PlayedUnit } from '../../../core/model/pass.ts';
import type { Problem } from '../../../core/base/result.ts';
import { logEntrySchema, playedUnitSchema } from '../../contract/schemas.ts';
import type { SafeKeeping } from '../store/backups.ts';
import { setAside } from '../store/backups.ts';
import { inWords, readText } from '../store/durable.ts';

/** The newest form of a line that is understood. */
const LINE_VERSION = 2;

export interface JournalContent {
  readonly entries: readonly LogEntry[];
  readonly problems: readonly Problem[];
  /** False when lines of a newer version stand in it, or it cannot be read: it must then be kept. */
  readonly whole: boolean;
}

/** Lines that cannot be understood are copied to set-aside with the file. */
export function readJournal(file: string, keeping: SafeKeeping): JournalContent {
  const found = readText(file);
  if (found.kind === 'missing') return { entries: [], problems: [], whole: true };
  if (found.kind === 'unreadable') return unreadable(file, found.reason);
  const { entries, flawed, newer } = readLines(found.text.split('\n').filter(Boolean));
  const problems = [
    ...(flawed > 0 ? keepFlawed(flawed, file, keeping) : []),
    ...(newer > 0 ? [newerLines(newer, file)] : []),
  ];
  return { entries, problems, whole: newer === 0 && !problems.some(mustKeep) };
}

function keepFlawed(count: number, file: string, keeping: SafeKeeping): Problem[] {
  try {
    const aside = setAside(keeping, file);
    return [
      {
        code: 'journal-set-aside',
        message: `${count === 1 ? 'One line' : `${count} lines`} of the latest log could not be understood (a crash can leave a torn last line). A copy was kept as ${aside}; everything else was read.`,
        cure: 'Nothing more is needed; keep the file if you want somebody to look into it.',
      },
    ];
  } catch (error) {
    return [...unreadable(file, `a copy could not be set aside: ${inWords(error)}`).problems];
  }
}

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
    const unit = checked(playedUnitSchema, fact.unit);
    if (unit.success) read.units.set(unit.data.fingerprint, unit.data);
    else read.flawed++;
    return;
  }
  const entry = checked(logEntrySchema, entryOf(fact, read.units));
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
  whole: false,
});

const newerLines = (count: number, file: string): Problem => ({
  code: 'journal-newer',
  message: `${count} lines of the latest log (${file}) were written by a newer Rungwise and are not shown.`,
  cure: 'Update Rungwise; the lines are kept.',
});

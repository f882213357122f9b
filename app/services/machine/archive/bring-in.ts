// Brings in what was chosen of an archive: beside what is here, never over it, with a note of how to undo it.
import { same } from '../../../core/base/same.ts';
import { setImmediate } from 'node:timers/promises';
import type { DatabaseSync } from 'node:sqlite';
import { isoTimeOf } from '../../../core/base/iso-time.ts';
import { localDate } from '../../../core/log/days.ts';
import type { LogEntry } from '../../../core/model/pass.ts';
import type { ArchiveChoice } from '../../contract/archives.ts';
import { factsOf } from '../log/copy-facts.ts';
import type { LogStore } from '../log/log-store.ts';
import type { WrittenRows } from '../log/write-log.ts';
import { openForeignLog } from '../log/beside.ts';
import type { Documents } from '../store/documents.ts';
import { bringRecordings } from './archived-recordings.ts';
import { readDocuments } from './look.ts';
import type { Keeping } from './keeping.ts';
import { type Archive, fileOfChart } from './open-archive.ts';
import {
  type DocumentsChange,
  emptyNote,
  NO_CHANGE,
  type UndoNote,
  writeUndoNote,
} from './undo-note.ts';

/** @throws Error where something could not be written; what was brought in until then can be undone. */
export async function bringIn(
  archive: Archive,
  choice: ArchiveChoice,
  keeping: Keeping,
): Promise<UndoNote> {
  let note = emptyNote(isoTimeOf(keeping.now()));
  const write = (more: Partial<UndoNote>): void => {
    note = { ...note, ...more };
    writeUndoNote(keeping, note);
  };
  write({ charts: bringCharts(archive, choice, keeping) });
  if (archive.log !== undefined && choice.days.length > 0)
    await bringLog(archive.log, choice.days, keeping, write);
  if (choice.documents) {
    const { students, ladders, settings } = readDocuments(archive);
    const { replace } = choice;
    write({ students: bringDocuments(students, keeping.students, replace) });
    write({ ladders: bringDocuments(ladders, keeping.ladders, replace) });
    write({ settings: bringSettings(settings, keeping, replace) });
  }
  if (choice.recordings && archive.recordings.length > 0) {
    const { directory } = keeping.folder;
    write({ recordings: bringRecordings(archive.recordings, directory, archive.sounds()) });
  }
  return note;
}

function bringCharts(
  archive: Archive,
  choice: ArchiveChoice,
  { charts }: Keeping,
): UndoNote['charts'] {
  const wanted = new Set(choice.charts);
  const texts = archive.charts
    .filter(({ name }) => wanted.has(name))
    .map(({ name, text }) => ({ name: fileOfChart(name), text }));
  const added = charts.addTexts(texts);
  if (!added.ok) throw new Error(added.problems[0]!.message);
  return texts.map(({ text }, i) => ({ file: added.value[i]!, text }));
}

type Days = ArchiveChoice['days'];

/** Passes of these days and the words on them; a fact that is here already counts once. */
export async function bringLog(
  file: string,
  days: Days,
  { log }: Keeping,
  write: (more: Pick<UndoNote, 'rows' | 'passes'>) => void,
): Promise<void> {
  const { store } = log;
  if (!store) throw new Error('the log here is not open');
  const opened = openForeignLog(file);
  if ('why' in opened) throw new Error(opened.why);
  const written = new Written(store);
  try {
    const wanted = new Set(days.map(({ desk, day }) => `${desk} ${day}`));
    const brought = new Set<string>();
    for (const { desk, entries } of factsOf(opened.database)) {
      const these = entries.filter((entry) => isWanted(entry, desk, wanted, brought));
      if (these.length > 0) written.run(() => store.write(desk, these));
      await setImmediate();
    }
  } finally {
    opened.database.close();
    write({ rows: written.rows, passes: written.passes });
  }
}

/** Words are wanted on passes that were wanted: those come first. */
function isWanted(
  entry: LogEntry,
  desk: string,
  wanted: ReadonlySet<string>,
  brought: Set<string>,
): boolean {
  if (entry.kind === 'amendment') return brought.has(`${desk} ${entry.amendment.amends}`);
  if (!wanted.has(`${desk} ${localDate(entry.pass.at)}`)) return false;
  brought.add(`${desk} ${entry.pass.id}`);
  return true;
}

/** Which rows of the log were written by whom: the player may log passes in between. */
class Written {
  readonly #store: LogStore;
  readonly #passes: [number, number][] = [];
  readonly #amendments: [number, number][] = [];

  constructor(store: LogStore) {
    this.#store = store;
  }

  run(work: () => void): void {
    const before = lastRows(this.#store.database);
    work();
    const after = lastRows(this.#store.database);
    addSpan(this.#passes, before.passes + 1, after.passes);
    addSpan(this.#amendments, before.amendments + 1, after.amendments);
  }

  get rows(): WrittenRows {
    return { passes: this.#passes, amendments: this.#amendments };
  }
  get passes(): number {
    return this.#passes.reduce((sum, [first, last]) => sum + last - first + 1, 0);
  }
}

function addSpan(spans: [number, number][], first: number, last: number): void {
  if (last < first) return;
  const newest = spans.at(-1);
  if (newest && newest[1] === first - 1) newest[1] = last;
  else spans.push([first, last]);
}

const lastRows = (database: DatabaseSync) =>
  database
    .prepare(
      `select (select coalesce(max(row), 0) from passes) as passes,
              (select coalesce(max(row), 0) from amendments) as amendments`,
    )
    .get() as { readonly passes: number; readonly amendments: number };

function bringDocuments<T>(
  theirs: readonly T[],
  ours: Documents<T>,
  replace: boolean,
): DocumentsChange {
  const put = theirs.filter((one) => {
    const here = ours.get(ours.idOf(one));
    return here === undefined || (replace && !same(one, here));
  });
  if (put.length === 0) return NO_CHANGE;
  const before = put.flatMap((one) => ours.get(ours.idOf(one)) ?? []);
  const done = ours.exchange(put, []);
  if (!done.ok) throw new Error(done.problems[0]!.message);
  return { put, before };
}

function bringSettings(
  theirs: ReadonlyMap<string, unknown>,
  { settings }: Keeping,
  replace: boolean,
): DocumentsChange {
  const ours = settings.raw();
  const put = [...theirs].filter(
    ([key, value]) => !ours.has(key) || (replace && !same(value, ours.get(key))),
  );
  if (put.length === 0) return NO_CHANGE;
  settings.exchange(new Map(put));
  return { put, before: put.flatMap(([key]) => (ours.has(key) ? [[key, ours.get(key)]] : [])) };
}

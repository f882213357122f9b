// Takes out again what was brought in last; what was changed since stays as it is.
import { ladderKind } from '../store/ladders.ts';
import { unwriteLog } from '../log/write-log.ts';
import type { DocumentKind, Documents } from '../store/documents.ts';
import { studentKind } from '../store/students.ts';
import { takeOutRecordings } from './archived-recordings.ts';
import { same } from '../../../core/base/same.ts';
import type { Keeping } from './keeping.ts';
import { type DocumentsChange, dropUndoNote, type UndoNote } from './undo-note.ts';

/** Returns how many charts, students, ladders and recordings stayed because they were changed since. @throws Error */
export function undo(note: UndoNote, keeping: Keeping): number {
  const { charts, log, students, ladders } = keeping;
  const { passes, amendments } = note.rows;
  if (passes.length + amendments.length > 0) {
    if (!log.store) throw new Error('the log is not open');
    unwriteLog(log.store.database, note.rows);
  }
  const left = charts.takeOutTexts(note.charts);
  const stayed =
    undoDocuments(note.students, students, studentKind) +
    undoDocuments(note.ladders, ladders, ladderKind);
  undoSettings(note.settings, keeping);
  const kept = takeOutRecordings(note.recordings, keeping.folder.directory);
  dropUndoNote(keeping);
  return left + stayed + kept;
}

function undoDocuments<T>(
  { put, before }: DocumentsChange,
  ours: Documents<T>,
  kind: DocumentKind<T>,
): number {
  if (put.length === 0) return 0;
  const read = (all: readonly unknown[]): T[] =>
    all.flatMap((one) => {
      const parsed = kind.parse(one);
      return parsed.ok ? [parsed.value] : [];
    });
  const asBrought = read(put).filter((one) => same(one, ours.get(ours.idOf(one))));
  const ids = new Set(asBrought.map((one) => ours.idOf(one)));
  const back = read(before).filter((one) => ids.has(ours.idOf(one)));
  for (const one of back) ids.delete(ours.idOf(one));
  const done = ours.exchange(back, [...ids]);
  if (!done.ok) throw new Error(done.problems[0]!.message);
  return put.length - asBrought.length;
}

function undoSettings({ put, before }: DocumentsChange, { settings }: Keeping): void {
  const earlier = new Map(before as [string, unknown][]);
  const now = settings.raw();
  const asBrought = (put as [string, unknown][]).filter(([key, value]) =>
    same(value, now.get(key)),
  );
  if (asBrought.length === 0) return;
  settings.exchange(new Map(asBrought.map(([key]) => [key, earlier.get(key)])));
}

// What an archive holds beside what is here, before anything is changed.
import { same } from '../../../core/base/same.ts';
import type { Problem } from '../../../core/base/result.ts';
import type { Student } from '../../../core/progress/assignment.ts';
import type { ArchivedChart, ArchiveLook, DocumentsBeside } from '../../contract/archives.ts';
import type { SavedLadder } from '../../contract/contract.ts';
import { ladderKind } from '../store/ladders.ts';
import { besideLog, type LogBeside, openForeignLog } from '../log/beside.ts';
import { type Documents, notTaken, readShelf, takenChanged } from '../store/documents.ts';
import { settingsKind } from '../store/settings-store.ts';
import { readDocument } from '../store/store-file.ts';
import { studentKind } from '../store/students.ts';
import { freshRecordings } from './archived-recordings.ts';
import { type Keeping, logFile } from './keeping.ts';
import type { Archive, TextInArchive } from './open-archive.ts';

/** The small documents of an archive, read. */
export interface ArchivedDocuments {
  readonly students: readonly Student[];
  readonly ladders: readonly SavedLadder[];
  readonly settings: ReadonlyMap<string, unknown>;
  readonly problems: readonly Problem[];
}

/** The students, ladders and settings of an archive; what could not be read is empty and named. */
export function readDocuments({ documents }: Archive): ArchivedDocuments {
  const none = { documents: [], problems: [] };
  const students = documents.get('students.json');
  const ladders = documents.get('ladders.json');
  const settings = documents.get('settings.json');
  const shelf = students === undefined ? none : readShelf(students, studentKind);
  const rungs = ladders === undefined ? none : readShelf(ladders, ladderKind);
  const values = settings === undefined ? undefined : readDocument(settings, settingsKind);
  return {
    students: shelf.documents,
    ladders: rungs.documents,
    settings: new Map(values && 'value' in values ? Object.entries(values.value) : []),
    problems: [
      ...shelf.problems,
      ...rungs.problems,
      ...(values && !('value' in values) ? [notTaken('the settings', values)] : []),
      ...(values?.kind === 'changed' ? [takenChanged('the settings')] : []),
    ],
  };
}

/** What an archive holds, beside what is here. */
export function lookAt(archive: Archive, keeping: Keeping): ArchiveLook {
  const log = lookAtLog(archive, keeping);
  const documents = readDocuments(archive);
  return {
    made: archive.made,
    program: archive.program,
    charts: chartsBeside(archive.charts, keeping),
    passes: log.passes,
    words: log.words,
    days: log.days,
    students: documentsBeside(documents.students, keeping.students),
    ladders: documentsBeside(documents.ladders, keeping.ladders),
    settings: settingsBeside(documents.settings, keeping.settings.raw()),
    recordings: freshRecordings(archive.recordings, keeping.folder.directory).length,
    freshHere: keeping.log.units({ desk: 'self' }).length === 0,
    problems: [...archive.problems, ...documents.problems, ...log.problems],
  };
}

function chartsBeside(
  archived: readonly TextInArchive[],
  { charts }: Keeping,
): readonly ArchivedChart[] {
  const beside = charts.beside(archived);
  return archived.map(({ name, title }, i) => ({ name, title, beside: beside[i]! }));
}

const NOTHING: LogBeside = { passes: 0, words: 0, days: [] };

function lookAtLog(
  { log }: Archive,
  keeping: Keeping,
): LogBeside & { readonly problems: readonly Problem[] } {
  if (log === undefined) return { ...NOTHING, problems: [] };
  const opened = openForeignLog(log);
  if ('why' in opened) return { ...NOTHING, problems: [noLog(opened.why)] };
  try {
    const problems = opened.flaw === undefined ? [] : [flawedLog(opened.flaw)];
    return { ...besideLog(opened.database, logFile(keeping)), problems };
  } finally {
    opened.database.close();
  }
}

const documentsBeside = <T>(theirs: readonly T[], ours: Documents<T>): DocumentsBeside =>
  counted(theirs.map((one) => [one, ours.get(ours.idOf(one))]));

const settingsBeside = (
  theirs: ReadonlyMap<string, unknown>,
  ours: ReadonlyMap<string, unknown>,
): DocumentsBeside => counted([...theirs].map(([key, value]) => [value, ours.get(key)]));

const counted = (pairs: readonly (readonly [theirs: unknown, ours: unknown])[]) => ({
  fresh: pairs.filter(([, ours]) => ours === undefined).length,
  other: pairs.filter(([theirs, ours]) => ours !== undefined && !same(theirs, ours)).length,
});

const noLog = (why: string): Problem => ({
  code: 'archive-left-out',
  message: `The log in this archive could not be read: ${why}.`,
  cure: 'The rest can be brought in; take an earlier archive for the log.',
});

const flawedLog = (flaw: string): Problem => ({
  code: 'archive-left-out',
  message: `The log in this archive was damaged: ${flaw}.`,
  cure: 'What is whole in it can be brought in.',
});

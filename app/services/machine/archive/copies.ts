// Single things back from the copies that the program keeps itself: an earlier text of a chart, a day of the log, a small file.
import path from 'node:path';
import { setImmediate } from 'node:timers/promises';
import { DatabaseSync } from 'node:sqlite';
import { isoTimeOf } from '../../../core/base/iso-time.ts';
import type { Problem, Result } from '../../../core/base/result.ts';
import { fail, ok } from '../../../core/base/result.ts';
import {
  type BroughtIn,
  type ChartCopy,
  type MissingDay,
  type MissingHere,
  SMALL_FILES,
  type SmallFile,
} from '../../contract/archives.ts';
import { momentOf } from '../charts/chart-versions.ts';
import { besideLog } from '../log/beside.ts';
import { backupsIn } from '../log/log-backups.ts';
import { inWords } from '../store/durable.ts';
import { broughtIn } from './archives.ts';
import { bringLog } from './bring-in.ts';
import { type Keeping, logFile } from './keeping.ts';
import { emptyNote, writeUndoNote } from './undo-note.ts';

/** Newest first. */
export const copiesOf = (id: string, { charts }: Keeping): readonly ChartCopy[] =>
  charts
    .versionsOf(id)
    .map(({ at, title, same }) => ({ at, title, same, saved: isoTimeOf(momentOf(at)) }));

/** What the copies hold and the library and the log lack. Takes a second with ten years of practice. */
export async function missingHere(keeping: Keeping): Promise<MissingHere> {
  const charts = keeping.charts
    .lost()
    .map(({ id, at, title }) => ({ id, at, title, saved: isoTimeOf(momentOf(at)) }));
  const found = await daysInCopies(keeping);
  const days = [...found.values()]
    .map(({ desk, day, passes }) => ({ desk, day, passes }))
    .sort((a, b) => b.day.localeCompare(a.day) || a.desk.localeCompare(b.desk));
  const files = SMALL_FILES.flatMap((name) => {
    const day = keeping[name].earlierDay();
    return day === undefined ? [] : [{ name, day }];
  });
  return { charts, days, files };
}

/** Its newest copy that differs takes the place of a small file. */
export function bringFile(name: SmallFile, keeping: Keeping): Result<null> {
  try {
    keeping[name].bringEarlier();
    return ok(null);
  } catch (error) {
    return fail(notBrought('file', error));
  }
}

type DayInCopy = MissingDay & { readonly file: string };

/** Of each day the copy that holds most of what is missing. */
async function daysInCopies(keeping: Keeping): Promise<ReadonlyMap<string, DayInCopy>> {
  const found = new Map<string, DayInCopy>();
  for (const { file } of backupsIn(path.join(keeping.folder.directory, 'backups', 'log'))) {
    for (const day of daysOf(file, keeping)) {
      const key = `${day.desk} ${day.day}`;
      if ((found.get(key)?.passes ?? 0) < day.passes) found.set(key, { ...day, file });
    }
    await setImmediate();
  }
  return found;
}

/** A copy that cannot be read has none. */
function daysOf(file: string, keeping: Keeping): readonly MissingDay[] {
  try {
    const copy = new DatabaseSync(file);
    try {
      return besideLog(copy, logFile(keeping)).days;
    } finally {
      copy.close();
    }
  } catch {
    return [];
  }
}

/**
 * Brings one day of a desk back from the copy that has most of it. Fails where no copy has more than the log, or the
 * disk refuses.
 */
export async function bringDay(
  asked: Pick<MissingDay, 'desk' | 'day'>,
  keeping: Keeping,
): Promise<Result<BroughtIn>> {
  const found = (await daysInCopies(keeping)).get(`${asked.desk} ${asked.day}`);
  if (!found) return fail(allHere(asked.day));
  try {
    let note = emptyNote(isoTimeOf(keeping.now()));
    await bringLog(found.file, [asked], keeping, (more) => {
      note = { ...note, ...more };
      writeUndoNote(keeping, note);
    });
    return ok(broughtIn(note));
  } catch (error) {
    return fail(notBrought('day', error));
  }
}

const allHere = (day: string): Problem => ({
  code: 'not-there',
  message: `Every pass of ${day} in the copies is here already.`,
  cure: 'Nothing more is needed.',
});

const notBrought = (what: 'day' | 'file', error: unknown): Problem => ({
  code: 'archive-not-whole',
  message: `The ${what} could not be brought back: ${inWords(error)}.`,
  cure: 'Make room on the disk or allow writing to the data folder, then try again.',
});

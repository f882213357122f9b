// Everything of the data folder in one ZIP file: unpacked, it is a data folder again.
import fs from 'node:fs';
import path from 'node:path';
import { isoTimeOf } from '../../../core/base/iso-time.ts';
import type { Problem, Result } from '../../../core/base/result.ts';
import { fail, ok } from '../../../core/base/result.ts';
import type { SavedArchive } from '../../contract/archives.ts';
import { copyLog } from '../log/log-backups.ts';
import { inWords } from '../store/durable.ts';
import { packedRecordings } from './archived-recordings.ts';
import { type Keeping, MADE, workFolder } from './keeping.ts';
import { ARCHIVE_NOTE, noteOf } from './open-archive.ts';
import { type Packed, writeArchive } from './write-archive.ts';
import { assertHere } from '../store/data-folder.ts';
import { makeFolder } from '../store/make-folder.ts';

/** The archive made last; it takes the place of the one before. */
export const madeArchive = (keeping: Keeping): string => path.join(workFolder(keeping), MADE);

/** Writes charts, log, recordings and documents into one archive, in the place of the one made before. */
export async function saveAll(keeping: Keeping): Promise<Result<SavedArchive>> {
  const { folder, charts, log, now, version } = keeping;
  const work = workFolder(keeping);
  const copy = path.join(work, 'copy.sqlite');
  const file = madeArchive(keeping);
  const problems: Problem[] = [];
  try {
    assertHere(folder);
    makeFolder(work);
    fs.rmSync(file, { force: true });
    const made = isoTimeOf(now());
    const all: Packed[] = [{ name: ARCHIVE_NOTE, text: noteOf(made, version) }];
    if (log.store) {
      await copyLog(log.store.database, copy);
      all.push({ name: 'log.sqlite', file: copy });
    } else problems.push(withoutLog);
    if (log.waiting.length > 0) problems.push(withoutWaiting);
    for (const name of ['settings.json', 'ladders.json', 'students.json']) {
      const one = path.join(folder.directory, name);
      if (fs.existsSync(one)) all.push({ name, file: one });
    }
    const files = charts.files();
    all.push(...files.packed);
    problems.push(...files.problems);
    const recordings = packedRecordings(folder.directory);
    all.push(...recordings.packed);
    problems.push(...recordings.problems);
    await writeArchive(file, all);
    const name = `Rungwise ${made.slice(0, 10)}.zip`;
    return ok({ name, bytes: fs.statSync(file).size, problems });
  } catch (error) {
    return fail(notMade(error));
  } finally {
    fs.rmSync(copy, { force: true });
  }
}

const withoutLog: Problem = {
  code: 'archive-left-out',
  message: 'The log could not be read, so your passes are not in this file.',
  cure: 'See the message at the top of the window; then save everything again.',
};

const withoutWaiting: Problem = {
  code: 'archive-left-out',
  message: 'The passes that wait to be written are not in this file.',
  cure: 'See the message at the top of the window; then save everything again.',
};

const notMade = (error: unknown): Problem => ({
  code: 'archive-not-made',
  message: `The file could not be made: ${inWords(error)}.`,
  cure: 'Make room on the disk or allow writing to the data folder, then try again.',
});

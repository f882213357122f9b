// The last resort when the program ends while passes still wait: a file beside the data folder, taken back at the next start.
import { createHash } from 'node:crypto';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { z } from 'zod';
import { isoTimeOf } from '../../core/base/iso-time.ts';
import { logEntrySchema } from '../contract/schemas.ts';
import type { Waiting } from './log/keep-log.ts';
import { inWords } from './store/durable.ts';

/** Beside the folder, or where that cannot be written, in the system's folder for temporary files. */
const placesFor = (directory: string): readonly string[] => {
  const mark = createHash('sha256').update(directory).digest('hex').slice(0, 12);
  return [`${directory}.waiting-`, path.join(os.tmpdir(), `rungwise-waiting-${mark}-`)];
};

/** Says in one sentence what became of entries that could not be written; undefined when there were none. */
export function rescue(
  waiting: readonly Waiting[],
  directory: string,
  now: Date,
): string | undefined {
  const count = waiting.reduce((sum, { entries }) => sum + entries.length, 0);
  if (count === 0) return undefined;
  const stamp = isoTimeOf(now).replace(/[-:.+]/g, '');
  const text = waiting.map((one) => `${JSON.stringify(one)}\n`).join('');
  let refused: unknown;
  for (const place of placesFor(directory)) {
    const file = `${place}${stamp}.jsonl`;
    try {
      fs.writeFileSync(file, text, { flag: 'wx', flush: true, mode: 0o600 });
      return `${count} entries of the log could not be written to the data folder; they were kept in ${file} and are taken back at the next start.`;
    } catch (error) {
      refused = error;
    }
  }
  return `${count} entries of the log could not be written anywhere: ${inWords(refused)}.`;
}

const waitingSchema = z.strictObject({
  desk: z.string().regex(/^[A-Za-z0-9-]{1,64}$/),
  entries: z.array(logEntrySchema),
});

/**
 * Hands what was rescued to `write`, and removes each file once that went well.
 * A file of another user, or one that is not understood, is left alone.
 */
export function takeBack(directory: string, write: (waiting: Waiting) => void): void {
  for (const place of placesFor(directory)) {
    for (const file of rescuedAt(place)) {
      const waiting = read(file);
      if (!waiting) continue;
      waiting.forEach(write);
      fs.rmSync(file);
    }
  }
}

function rescuedAt(place: string): string[] {
  const { dir, base } = path.parse(place);
  try {
    return fs
      .readdirSync(dir)
      .filter((name) => name.startsWith(base) && name.endsWith('.jsonl'))
      .map((name) => path.join(dir, name))
      .filter(isOurs);
  } catch {
    return [];
  }
}

const isOurs = (file: string): boolean =>
  process.getuid === undefined || fs.lstatSync(file).uid === process.getuid();

function read(file: string): readonly Waiting[] | undefined {
  try {
    return fs
      .readFileSync(file, 'utf8')
      .split('\n')
      .filter(Boolean)
      .map((line) => waitingSchema.parse(JSON.parse(line)) as Waiting);
  } catch {
    return undefined;
  }
}

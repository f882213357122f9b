// The last resort when the program ends while passes still wait: they go to a file in the system's temporary folder.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { LogEntry } from '../../core/model/pass.ts';
import { inWords } from './store/durable.ts';

/** Says in one sentence what became of entries that could not be written; undefined when there were none. */
export function rescue(entries: readonly LogEntry[], now: Date): string | undefined {
  if (entries.length === 0) return undefined;
  const stamp = now.toISOString().replace(/[-:.]/g, '');
  const file = path.join(os.tmpdir(), `rungwise-passes-${stamp}.jsonl`);
  try {
    fs.writeFileSync(file, entries.map((entry) => JSON.stringify(entry) + '\n').join(''), {
      flag: 'wx',
      flush: true,
    });
    return `${entries.length} entries of the log could not be written to the data folder; they were kept in ${file}.`;
  } catch (error) {
    return `${entries.length} entries of the log could not be written anywhere: ${inWords(error)}.`;
  }
}

// What this machine remembers of the shared folder: which it is, under what name it writes, what was taken in.
import fs from 'node:fs';
import path from 'node:path';
import { writeFileSync } from 'atomically';
import { z } from 'zod';
import { identity } from '../../../core/progress/desk-schema.ts';

interface Remembered {
  readonly folder?: string | undefined;
  readonly writer: string;
  /** The number of the last file written; 0 before the first. */
  readonly last: number;
  /** Hashes of what was taken in or put away. */
  readonly taken: readonly string[];
}

const schema: z.ZodType<Remembered> = z.object({
  folder: z.string().max(4_000).optional(),
  writer: identity,
  last: z.int().min(0),
  taken: z.array(z.string().max(100)),
});

export interface SharedMemory {
  readonly now: Remembered;
  readonly keep: (change: Partial<Remembered>) => void;
}

/** A lost or spoilt memory costs only that things are offered once more: a new writer begins. */
export function openMemory(directory: string, newId: () => string): SharedMemory {
  const file = path.join(directory, 'shared-folder.json');
  let now: Remembered = read(file) ?? { writer: newId(), last: 0, taken: [] };
  return {
    get now() {
      return now;
    },
    keep: (change) => {
      now = { ...now, ...change };
      writeFileSync(file, `${JSON.stringify(now, null, 1)}\n`, { mode: 0o600 });
    },
  };
}

function read(file: string): Remembered | undefined {
  try {
    return schema.parse(JSON.parse(fs.readFileSync(file, 'utf8')));
  } catch {
    return undefined;
  }
}

// What this machine remembers of the shared folder: which it is, under what names it writes, what was taken in.
import fs from 'node:fs';
import path from 'node:path';
import { writeFileSync } from 'atomically';
import { z } from 'zod';
import type { LogMark } from '../log/rows-after.ts';
import { identity } from '../../../core/progress/desk-schema.ts';

/** Under what name this machine writes in one place of the shared folder: numbers run without a gap in each. */
export interface Place {
  /** '' for the folder itself, else the folder of a student in it. */
  readonly place: string;
  readonly writer: string;
  /** The number of the last file written; 0 before the first. */
  readonly last: number;
}

export const logMarkSchema: z.ZodType<LogMark> = z.strictObject({
  log: z.string().max(200),
  passes: z.int().min(0),
  pass: z.string().max(400),
  words: z.int().min(0),
});

interface Remembered {
  readonly folder?: string | undefined;
  readonly places: readonly Place[];
  /** Names under which it wrote before. */
  readonly was?: readonly string[] | undefined;
  /** Hashes of what was taken in or put away. */
  readonly taken: readonly string[];
  /** A folder in it for each student: their names there, by identity. Absent where all share one. */
  readonly folders?: Readonly<Record<string, string>> | undefined;
  /** This machine is one of a player's: the code of them all, and how this one is called. */
  readonly own?: { readonly code: string; readonly machine: string } | undefined;
  /** The player's list that practice reports go to by themselves, and how far they have come. */
  readonly reports?:
    | {
        readonly to: string;
        readonly upTo?: LogMark | undefined;
        /** Questions that went along. */
        readonly asked?: number | undefined;
      }
    | undefined;
  /** Reports of students on the list here are to be looked at, one by one. */
  readonly looksFirst?: true | undefined;
}

const schema = z.object({
  folder: z.string().max(4_000).optional(),
  places: z.array(
    z.object({
      place: z.string().max(200),
      writer: identity,
      last: z.int().min(0),
    }),
  ),
  was: z.array(identity).optional(),
  taken: z.array(z.string().max(100)),
  folders: z.record(identity, z.string().max(200)).optional(),
  own: z.object({ code: z.string().max(20), machine: z.string().max(400) }).optional(),
  reports: z
    .object({ to: identity, upTo: logMarkSchema.optional(), asked: z.int().optional() })
    .optional(),
  looksFirst: z.literal(true).optional(),
});

/** As version 0.2 wrote it: one place. */
const before = z
  .looseObject({ writer: identity, last: z.int().min(0) })
  .transform(({ writer, last, ...rest }) => ({ ...rest, places: [{ place: '', writer, last }] }))
  .pipe(schema);

export interface SharedMemory {
  readonly now: Remembered;
  readonly keep: (change: Partial<Remembered>) => void;
  readonly place: (name: string) => Place;
  readonly keepPlace: (place: Place) => void;
}

/** A lost or spoilt memory costs only that things are offered once more: a new writer begins. */
export function openMemory(directory: string, newId: () => string): SharedMemory {
  const file = path.join(directory, 'shared-folder.json');
  let now: Remembered = read(file) ?? { places: [], taken: [] };
  const keep = (change: Partial<Remembered>): void => {
    now = { ...now, ...change };
    writeFileSync(file, `${JSON.stringify(now, null, 1)}\n`, { mode: 0o600 });
  };
  const keepPlace = (place: Place): void => {
    const others = now.places.filter((one) => one.place !== place.place);
    keep({ places: [...others, place] });
  };
  return {
    get now() {
      return now;
    },
    keep,
    keepPlace,
    place: (name) => {
      const known = now.places.find(({ place }) => place === name);
      if (known) return known;
      const made = { place: name, writer: newId(), last: 0 };
      keepPlace(made);
      return made;
    },
  };
}

function read(file: string): Remembered | undefined {
  try {
    const raw: unknown = JSON.parse(fs.readFileSync(file, 'utf8'));
    return schema.or(before).parse(raw);
  } catch {
    return undefined;
  }
}

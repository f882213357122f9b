// What this machine remembers of the shared folder: which it is, under what names it writes, what was taken in.
import { createHash } from 'node:crypto';
import path from 'node:path';
import { z } from 'zod';
import type { Problem } from '../../../core/base/result.ts';
import { isoTime } from '../../../core/base/fields.ts';
import { identity } from '../../../core/progress/desk-schema.ts';
import { MAX_HASH, type SharedState } from '../../contract/shared.ts';
import type { LogMark } from '../log/rows-after.ts';
import { type Content, sealed, unsealed } from '../store/seal.ts';
import { type Files, onDisk } from './files.ts';
import { attempt } from '../store/durable.ts';

/** Under what name this machine writes in one place of the shared folder: numbers run without a gap in each. */
export interface WriterPlace {
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
  word: z.int().optional(),
});

const waySchema = z.union([
  z.object({ kind: z.literal('server'), url: z.string(), user: z.string() }),
  z.object({ kind: z.literal('folder'), folder: z.string() }),
]);
/** The server or locked folder that a copy is carried to and from. */
export type Way = z.infer<typeof waySchema>;

const givenSchema = z.object({
  /** The recording. */
  id: z.string().max(200),
  /** The list of a teacher; absent where it is for the player's own machines. */
  to: identity.optional(),
  folder: z.string().max(4_000),
  writer: identity,
  number: z.int().min(1),
  /** How often it was given again. */
  times: z.int().min(0),
});
/** A recording that was given from here, and the file that it is. */
export type GivenFile = z.infer<typeof givenSchema>;

interface Remembered {
  /** Where files are read and written: the chosen folder, or the copy of what {@link way} leads to. */
  readonly folder?: string | undefined;
  /** Absent where the chosen folder is written as it is. */
  readonly way?: Way | undefined;
  readonly places: readonly WriterPlace[];
  /** Names under which it wrote before. */
  readonly was?: readonly string[] | undefined;
  /** Names are made with it, so that this machine knows its own again that an earlier copy of this note does not hold. */
  readonly origin?: string | undefined;
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
  /** Recordings that were given, and not taken back. */
  readonly given?: readonly GivenFile[] | undefined;
  /** Numbers of other writers' files that have not arrived, and since when. */
  readonly waitedFor?:
    | readonly {
        readonly writer: string;
        readonly since: string;
        readonly numbers: readonly number[];
      }[]
    | undefined;
}

const schema = z.object({
  folder: z.string().max(4_000).optional(),
  way: waySchema.optional(),
  places: z.array(
    z.object({
      place: z.string().max(200),
      writer: identity,
      last: z.int().min(0),
    }),
  ),
  was: z.array(identity).optional(),
  origin: z.string().max(200).optional(),
  taken: z.array(z.string().max(MAX_HASH)),
  folders: z.record(identity, z.string().max(200)).optional(),
  own: z.object({ code: z.string().max(20), machine: z.string().max(400) }).optional(),
  reports: z
    .object({ to: identity, upTo: logMarkSchema.optional(), asked: z.int().optional() })
    .optional(),
  looksFirst: z.literal(true).optional(),
  given: z.array(givenSchema).optional(),
  waitedFor: z
    .array(z.object({ writer: identity, since: isoTime, numbers: z.array(z.int().min(1)) }))
    .optional(),
});

/** As version 0.2 wrote it: one place. */
const before = z
  .looseObject({ writer: identity, last: z.int().min(0) })
  .transform(({ writer, last, ...rest }) => ({ ...rest, places: [{ place: '', writer, last }] }))
  .pipe(schema);

export interface SharedMemory {
  readonly now: Remembered;
  readonly keep: (change: Partial<Remembered>) => void;
  readonly place: (name: string) => WriterPlace;
  readonly keepPlace: (place: WriterPlace) => void;
  /** A name that nobody wrote under. */
  readonly newWriter: () => string;
  /** Was this name made here, also where it is not remembered? */
  readonly madeHere: (writer: string) => boolean;
}

interface MemoryOptions {
  /** The data folder. */
  readonly directory: string;
  readonly newId: () => string;
  readonly files: Files;
  readonly raise?: ((problem: Problem) => unknown) | undefined;
}

const NAME = 'shared-folder.json';

/** Was a folder or server chosen, is this one of a player's machines, or is the note of it damaged? Opens nothing. */
export function isShared(directory: string, files = onDisk): boolean {
  const text = attempt(() => files.read(path.join(directory, NAME)));
  if (text === undefined && hasShared(directory, files)) return true;
  const now = text === undefined ? NOTHING_KNOWN : read(text);
  return !now || now.folder !== undefined || now.own !== undefined;
}

/** What travelled, kept since the first choice of a folder: without the note beside it, that note is lost. */
export const writesFile = (directory: string): string =>
  path.join(directory, 'own-machines.sqlite');

const hasShared = (directory: string, files: Files): boolean =>
  attempt(() => files.stamp(writesFile(directory))) !== undefined;

/** The state where no folder is chosen. Opens nothing. */
export function unsharedIn(directory: string, files = onDisk): SharedState {
  const text = attempt(() => files.read(path.join(directory, NAME)));
  return unshared((text === undefined ? undefined : read(text)) ?? NOTHING_KNOWN);
}

/** The state of a machine that shares nothing now, with what was chosen before. */
export const unshared = (memory: Remembered): SharedState => ({
  ...{ writers: [], waiting: [], written: [] },
  ...choicesIn(memory),
});

/** What was chosen for the time when there is a shared folder. */
export const choicesIn = ({
  reports,
  looksFirst,
}: Remembered): Pick<SharedState, 'reportsTo' | 'looksFirst'> => ({
  ...(reports ? { reportsTo: reports.to } : {}),
  ...(looksFirst ? { looksFirst } : {}),
});

const NOTHING_KNOWN: Remembered = { places: [], taken: [] };

/**
 * A lost memory costs that a folder has to be chosen again, and that things are offered once more: a new writer begins.
 * A spoilt one is set aside, since a changed bit in it might send things to another place.
 */
export function openMemory({ directory, newId, files, raise }: MemoryOptions): SharedMemory {
  const file = path.join(directory, NAME);
  const text = attempt(() => files.read(file));
  const before = text === undefined ? undefined : read(text);
  if (text !== undefined && !before) {
    const aside = path.join(directory, 'set-aside');
    attempt(() => files.makeFolder(aside));
    attempt(() => files.writeClosed(path.join(aside, NAME), text));
    raise?.(spoilt);
  }
  const isLost = text === undefined && hasShared(directory, files);
  if (isLost) raise?.(lost);
  let now: Remembered = before ?? NOTHING_KNOWN;
  const keep = (change: Partial<Remembered>): void => {
    now = { ...now, ...change };
    files.writeClosed(file, sealed(now as unknown as Content));
  };
  if (text === undefined && !isLost) attempt(() => keep({}));
  const keepPlace = (place: WriterPlace): void => {
    const others = now.places.filter((one) => one.place !== place.place);
    keep({ places: [...others, place] });
  };
  const newWriter = (): string => {
    if (now.origin === undefined) keep({ origin: newId() });
    const id = newId();
    return `${id}-${signOf(now.origin!, id)}`;
  };
  return {
    get now() {
      return now;
    },
    ...{ keep, keepPlace, newWriter },
    madeHere: (writer) => {
      const [, id = '', sign] = /^(.+)-([0-9a-f]{16})$/.exec(writer) ?? [];
      return now.origin !== undefined && sign === signOf(now.origin, id);
    },
    place: (name) => {
      const known = now.places.find(({ place }) => place === name);
      if (known) return known;
      const made = { place: name, writer: newWriter(), last: 0 };
      keepPlace(made);
      return made;
    },
  };
}

const signOf = (origin: string, id: string): string =>
  createHash('sha256').update(`rungwise-writer ${origin} ${id}`).digest('hex').slice(0, 16);

/** Undefined where it is not what was written; an earlier version wrote no sum. */
function read(text: string): Remembered | undefined {
  return attempt(() => {
    const { content, whole } = unsealed(z.record(z.string(), z.unknown()).parse(JSON.parse(text)));
    return whole === false ? undefined : schema.or(before).parse(content);
  });
}

/** What is told where the note is spoilt or lost, until a folder is chosen again. */
export const LOST = ['shared-memory-spoilt', 'shared-memory-lost'] as const;

const lost: Problem = {
  code: 'shared-memory-lost',
  message: 'What was kept about your shared folder is gone, and nothing is shared now',
  cure: 'Choose the folder or server again, under Sound & care. Nothing in the folder was changed.',
};

const spoilt: Problem = {
  code: 'shared-memory-spoilt',
  message: 'What was kept about your shared folder is damaged, and nothing is shared now',
  cure: 'Choose the folder or server again, under Sound & care. The damaged file was set aside; nothing in the folder was changed.',
};

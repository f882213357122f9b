// Everything in one file, and back: what the machine says of an archive, and of the copies it keeps itself.
import { z } from 'zod';
import { PART_BYTES } from '../../core/model/limits.ts';
import type { Problem } from '../../core/base/result.ts';
import type { IsoDate, IsoTime } from '../../core/base/units.ts';
import { desk } from './log-queries.ts';
import { shortText } from './schemas.ts';

/** A stretch of a file in base64, and where it begins. */
export const filePart = z.strictObject({
  from: z.int().min(0).max(4e9),
  base64: z.base64().max(Math.ceil(PART_BYTES / 3) * 4 + 4),
});
export type FilePart = z.output<typeof filePart>;

export interface SavedArchive {
  /** What the file is to be called. */
  readonly name: string;
  readonly bytes: number;
  /** What could not be put into it. */
  readonly problems: readonly Problem[];
}

/** `new` is not here, `same` is here as it is, `other` is here with another content. */
export type Beside = 'new' | 'same' | 'other';

export interface ArchivedChart {
  /** Its place in the archive. */
  readonly name: string;
  readonly title: string;
  readonly beside: Beside;
}

/** Passes of one day that are not here. */
export interface MissingDay {
  readonly desk: string;
  readonly day: IsoDate;
  readonly passes: number;
}

/** How many of a kind of document are new here, and how many are here with another content. */
export interface DocumentsBeside {
  readonly fresh: number;
  readonly other: number;
}

/** What an archive holds beside what is here. */
export interface ArchiveLook {
  readonly made: IsoTime;
  /** Version of the program that made it. */
  readonly program: string;
  readonly charts: readonly ArchivedChart[];
  /** Passes in it, and words on passes that are not here. */
  readonly passes: number;
  readonly words: number;
  readonly days: readonly MissingDay[];
  readonly students: DocumentsBeside;
  readonly ladders: DocumentsBeside;
  readonly settings: DocumentsBeside;
  /** How many that are not here. */
  readonly recordings: number;
  /** Nothing was played here yet: a new computer. */
  readonly freshHere: boolean;
  readonly problems: readonly Problem[];
}

export const dayOfDesk = z.strictObject({ desk, day: z.iso.date() });

export const archiveChoice = z.strictObject({
  /** Places of charts in the archive. */
  charts: z.array(shortText).max(20_000),
  /** Days whose passes are brought in. */
  days: z.array(dayOfDesk).max(100_000),
  /** Students, ladders and settings that are not here; with `replace` those that differ, too. */
  documents: z.boolean(),
  replace: z.boolean(),
  /** Recordings that are not here. */
  recordings: z.boolean(),
});
export type ArchiveChoice = z.output<typeof archiveChoice>;

/** What was brought in last, as long as it can be undone. */
export interface BroughtIn {
  readonly at: IsoTime;
  readonly charts: number;
  readonly passes: number;
  readonly documents: number;
  readonly recordings: number;
}

export const chartCopy = z.strictObject({ id: shortText, at: z.string().regex(/^\d{8}T\d{9}$/) });

/** An earlier text of a chart. */
export interface ChartCopy {
  /** Names it among the copies of its chart. */
  readonly at: string;
  /** When it was saved. */
  readonly saved: IsoTime;
  readonly title: string;
  /** Is the chart like this now? */
  readonly same: boolean;
}

/** The small files that are copied by day. */
export const SMALL_FILES = ['settings', 'ladders', 'students'] as const;
export const smallFile = z.strictObject({ name: z.enum(SMALL_FILES) });
export type SmallFile = (typeof SMALL_FILES)[number];

/** What stands in the copies of this data folder and not in its charts, log and small files. */
export interface MissingHere {
  readonly charts: readonly (Pick<ChartCopy, 'at' | 'saved' | 'title'> & { readonly id: string })[];
  readonly days: readonly MissingDay[];
  /** The newest copy that differs of each small file that has one. */
  readonly files: readonly { readonly name: SmallFile; readonly day: IsoDate }[];
}

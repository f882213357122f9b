// A closed file in a shared folder: one parcel, numbered by its writer, with a check sum at its end.
//
// Two lines of text: {"format": "rungwise-shared", "version": 2, writer, number, written, parcel?, batch?, recording?,
// instead?, again?} and the SHA-256 of the first line in hexadecimal. Only its writer ever touches it. A file that is still on its way has no second line.
// Version 1 had no batches, version 2 none of a teacher's student and nothing `instead`, version 3 no recordings,
// version 4 nothing told `again`; a file without them says the earlier one.
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import { z } from 'zod';
import { checked } from '../../base/checked.ts';
import { isoTime } from '../../base/fields.ts';
import type { IsoTime } from '../../base/units.ts';
import { identity } from '../../progress/desk-schema.ts';
import { type Batch, batchSchema } from './facts.ts';
import { type GivenRecording, givenRecordingSchema } from './given-recording.ts';
import { type Parcel, parcelSchema } from './parcel.ts';

export interface Segment {
  /** One per data folder; a new one where its numbers cannot be trusted any more. */
  readonly writer: string;
  /** From 1, without gaps. */
  readonly number: number;
  /** By the writer's own clock, which may be wrong: it is shown, and never decides anything. */
  readonly written: IsoTime;
  /** Absent once it was taken out again. */
  readonly parcel?: Parcel;
  /** What a machine tells the others of its player. */
  readonly batch?: Batch;
  /** What a student gave a teacher to hear, or the player's own machines. */
  readonly recording?: GivenRecording;
  /** Numbers whose content stands in this one: from and to, both counted. Their files may be gone. */
  readonly instead?: Ranges;
  /** Numbers of any writer whose files are nowhere any more: what stood in them was told again. Nobody waits for them. */
  readonly again?: readonly { readonly writer: string; readonly numbers: Ranges }[];
}

/** Numbers of files: from and to, both counted. */
export type Ranges = readonly (readonly [from: number, to: number])[];

export type SegmentReading =
  | { readonly kind: 'whole'; readonly segment: Segment; readonly hash: string }
  /** Its end has not arrived yet. */
  | { readonly kind: 'partial' }
  /** It is not what was written. */
  | { readonly kind: 'spoilt' }
  /** A later version wrote it. */
  | { readonly kind: 'newer' };

const VERSION = 5;

const segmentNumber = z.int().min(1).max(999_999);

const ranges = z.array(z.tuple([segmentNumber, segmentNumber])).max(10_000);

const segmentSchema = z.strictObject({
  writer: identity,
  number: segmentNumber,
  written: isoTime,
  parcel: parcelSchema.optional(),
  batch: batchSchema.optional(),
  recording: givenRecordingSchema.optional(),
  instead: ranges.optional(),
  again: z
    .array(z.strictObject({ writer: identity, numbers: ranges }))
    .max(1_000)
    .optional(),
}) as z.ZodType<Segment>;

const FORMAT = 'rungwise-shared';

/** The two lines of a segment's file: itself as JSON, and the hash of that line. */
export function writeSegment(segment: Segment): string {
  const line = JSON.stringify({ format: FORMAT, version: versionOf(segment), ...segment });
  return `${line}\n${hashOf(line)}\n`;
}

/** The earliest that knows all that stands in it. */
function versionOf({ batch, parcel, recording, instead, again }: Segment): number {
  if (again || batch?.facts.some((fact) => fact.kind === 'value' && fact.by)) return VERSION;
  if (recording) return 4;
  if (batch?.desk !== undefined || instead) return 3;
  return batch || parcel?.adds ? 2 : 1;
}

/** The check sum in a text of {@link writeSegment}. */
export const hashIn = (text: string): string => text.slice(-65, -1);

/** Never throws. */
export function readSegment(text: string): SegmentReading {
  const [line = '', hash = '', end] = text.split('\n');
  if (end === undefined) return { kind: 'partial' };
  if (hashOf(line) !== hash) return { kind: 'spoilt' };
  const parsed = parse(line);
  const { format, version, ...rest } = parsed ?? {};
  if (format !== FORMAT) return { kind: 'spoilt' };
  if (typeof version === 'number' && version > VERSION) return { kind: 'newer' };
  const read = checked(segmentSchema, rest);
  return read.success ? { kind: 'whole', segment: read.data, hash } : { kind: 'spoilt' };
}

function parse(line: string): Record<string, unknown> | undefined {
  try {
    const value: unknown = JSON.parse(line);
    return typeof value === 'object' && value !== null
      ? (value as Record<string, unknown>)
      : undefined;
  } catch {
    return undefined;
  }
}

const hashOf = (text: string): string => bytesToHex(sha256(utf8ToBytes(text)));

/**
 * "000012-9f86d081.rungshare", by its number and its check sum: two data folders that take themselves for one writer
 * (a copy of one that runs elsewhere) write files that stand beside each other. What a syncing program makes of a
 * conflict is called otherwise, and is read all the same.
 */
export const segmentName = (number: number, hash: string): string =>
  `${String(number).padStart(6, '0')}-${hash.slice(0, 8)}${SEGMENT_ENDING}`;
export const SEGMENT_ENDING = '.rungshare';

/** The number in such a name, also in one of version 0.2 without a check sum; 0 for any other. */
export const numberIn = (name: string): number => Number(/^(\d{6})[-. ]/.exec(name)?.[1] ?? 0);

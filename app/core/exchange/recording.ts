// A recording of what was played: what is known of it, how large it may be, and what kinds of sound file it may be.
import { z } from 'zod';
import { isoTime, shortText } from '../base/fields.ts';
import { beatUnitSchema } from '../chart/schema.ts';
import { MAX_REMARK } from '../model/limits.ts';
import { identity } from '../progress/desk-schema.ts';

/** Bytes: the longest one (`MAX_RECORDING`) at 80 kbit/s takes 12 million; the rest is for what an encoder spends more. */
export const MAX_RECORDING_BYTES = 16_000_000;

/** What is recorded, known when it begins. */
export const recordingAbout = z.strictObject({
  chart: z.strictObject({ id: shortText, title: shortText }),
  unit: z.strictObject({ key: shortText, name: shortText }),
  tempo: z.strictObject({ bpm: z.number().min(1).max(1_000), beat: beatUnitSchema }),
  /** The go in the log whose passes are heard. */
  climb: shortText,
  /** Of that go the one pass that is heard; absent where all of them are. */
  pass: shortText.optional(),
});
export type RecordingAbout = z.infer<typeof recordingAbout>;

export const recordingRemark = z.string().trim().max(MAX_REMARK);

export const recordingNote = recordingAbout.extend({
  id: identity,
  /** When it began. */
  at: isoTime,
  /** Absent where it broke off: then nobody counted. */
  seconds: z.number().min(0).max(86_400).optional(),
  remark: recordingRemark.optional(),
});
export type RecordingNote = z.infer<typeof recordingNote>;

/** WebM or Ogg, each with Opus in it: what browsers record. */
export const SOUND_KINDS = ['webm', 'ogg'] as const;
export type SoundKind = (typeof SOUND_KINDS)[number];

/** By its first bytes, whatever it is called: EBML (RFC 8794, 11.2.1) or Ogg (RFC 3533, 6). */
export function soundKind([a, b, c, d]: Uint8Array): SoundKind | undefined {
  const first = `${a} ${b} ${c} ${d}`;
  if (first === '26 69 223 163') return 'webm';
  return first === '79 103 103 83' ? 'ogg' : undefined;
}

// A recording as it lies in a shared folder: for whom it is, what is known of it, and its sound.
import { z } from 'zod';
import { MAX_FIELD } from '../../base/fields.ts';
import { identity } from '../../progress/desk-schema.ts';
import { MAX_RECORDING_BYTES, recordingNote } from '../recording.ts';

/** Characters of base64 (RFC 4648, 4): four for every three bytes. */
const MAX_SOUND = Math.ceil(MAX_RECORDING_BYTES / 3) * 4;

export const givenRecordingSchema = z.strictObject({
  note: recordingNote,
  /** The student's identity on the list of the teacher who may hear it; absent where it is for no teacher. */
  student: identity.optional(),
  /** Tells the player's own machines, which may hear it, from others'; and how the one that recorded it is called. */
  own: z
    .strictObject({
      person: z.string().regex(/^[0-9a-f]{32}$/, 'is not a player'),
      machine: z.string().max(MAX_FIELD),
    })
    .optional(),
  /** WebM or Ogg in base64. */
  sound: z.string().min(4).max(MAX_SOUND),
});
export type GivenRecording = z.infer<typeof givenRecordingSchema>;

/** As it lies on the shelf, without its sound. */
export interface GivenHead extends Omit<GivenRecording, 'sound'> {
  /** Bytes of its sound. */
  readonly bytes: number;
}

/** The recording without its sound, whose bytes are counted from the base64. */
export const headOfRecording = ({ sound, ...head }: GivenRecording): GivenHead => ({
  ...head,
  bytes:
    Math.floor((sound.length * 3) / 4) - (sound.endsWith('==') ? 2 : sound.endsWith('=') ? 1 : 0),
});

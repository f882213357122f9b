// Recordings of what was played: what is kept here, and what others gave into the shared folder.
import { z } from 'zod';
import {
  recordingAbout,
  type RecordingNote,
  recordingRemark,
  type SoundKind,
  SOUND_KINDS,
} from '../../core/exchange/recording.ts';
import type { Problem } from '../../core/base/result.ts';
import { MAX_RECORDING } from '../../core/model/limits.ts';
import { filePart } from './archives.ts';
import { shortText } from './schemas.ts';

export interface KeptRecording {
  readonly note: RecordingNote;
  /** Its name in the folder `recordings`. */
  readonly file: string;
  readonly bytes: number;
  /** `on` is being recorded; `broken-off` was left in the middle; `changed` is shorter or longer than what was recorded. */
  readonly state: 'whole' | 'on' | 'broken-off' | 'changed';
}

export interface Recordings {
  /** Newest first. */
  readonly all: readonly KeptRecording[];
  readonly problems: readonly Problem[];
}

/** A sound file that is about to be fetched by parts. */
export interface OpenedSound {
  readonly bytes: number;
  readonly kind: SoundKind;
  /** Is it as it was recorded? Else it may break off. */
  readonly whole: boolean;
}

/** One in the shared folder. */
export interface SharedRecording {
  /** Names it there. */
  readonly file: string;
  readonly note: RecordingNote;
  readonly bytes: number;
  readonly from:
    /** Given from here: to the teacher of this list; absent where only the player's own machines may hear it. */
    | { readonly kind: 'here'; readonly to?: string }
    /** Another machine of the same player, as it is called. */
    | { readonly kind: 'own'; readonly machine: string }
    /** By the identity on the teacher's list. */
    | { readonly kind: 'student'; readonly student: string };
}

export const recordingStart = z.strictObject({
  about: recordingAbout,
  kind: z.enum(SOUND_KINDS),
});
export const recordingPart = filePart.extend({ id: shortText });
export const recordingEnd = z.strictObject({
  id: shortText,
  seconds: z
    .number()
    .min(0)
    .max(2 * MAX_RECORDING),
  /** What it was played at, where that was not settled when it began. */
  tempo: recordingAbout.shape.tempo.optional(),
});
export type RecordingEnd = z.infer<typeof recordingEnd>;
/** '' takes the remark away. */
export const recordingWords = z.strictObject({ id: shortText, remark: recordingRemark });
export const soundPart = z.strictObject({ id: shortText, from: z.int().min(0).max(4e9) });
/** @param to the list of a teacher that the player stands in; null: for the player's own machines only */
export const recordingGift = z.strictObject({ id: shortText, to: shortText.nullable() });

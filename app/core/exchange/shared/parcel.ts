// What a teacher and a student hand each other in a shared folder: a task sheet, a practice report.
import { z } from 'zod';
import { MAX_FIELD } from '../../base/fields.ts';
import { identity } from '../../progress/desk-schema.ts';

export const PARCEL_KINDS = ['sheet', 'report'] as const;

/** A task sheet for a student, or a practice report of one. */
export interface Parcel {
  readonly kind: (typeof PARCEL_KINDS)[number];
  /** The student's identity on the teacher's side. */
  readonly student: string;
  /** As a file of it would be called. */
  readonly name: string;
  readonly text: string;
  /** It comes on top of those before it, and takes the place of none. */
  readonly adds?: true | undefined;
}

/** Characters of a parcel's text: as much as one call of a host may carry. */
const MAX_PARCEL = 24_000_000;
export const parcelSchema = z.strictObject({
  kind: z.enum(PARCEL_KINDS),
  student: identity,
  name: z.string().min(1).max(MAX_FIELD),
  text: z.string().max(MAX_PARCEL),
  adds: z.literal(true).optional(),
});

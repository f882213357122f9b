// What the machines of one player tell each other: passes, the bars that were played, words on passes, and single values.
import { z } from 'zod';
import { MAX_FIELD, shortText } from '../../base/fields.ts';
import { identity } from '../../progress/desk-schema.ts';
import { amendmentSchema, passRecordSchema, playedUnitSchema } from '../../log/schema.ts';
import type { Amendment, PassRecord, PlayedUnit } from '../../model/pass.ts';

export type Json =
  null | boolean | number | string | readonly Json[] | { readonly [key: string]: Json };

/** A value as one machine set it. */
export interface ValueSet {
  readonly key: string;
  /** Null where it was taken away. */
  readonly value: Json;
  /** Greater than every turn its machine knew: a count of what was done, never a time. */
  readonly turn: number;
  /** The write that stood there before; absent for the first. */
  readonly over?: string | undefined;
  /** Who set it; absent in files of before, where it was whoever wrote the first that told it. */
  readonly by?: { readonly writer: string; readonly machine: string } | undefined;
}

export type Fact =
  | { readonly kind: 'pass'; readonly pass: PassRecord }
  /** Those of the passes beside it, once a file. */
  | { readonly kind: 'bars'; readonly unit: PlayedUnit }
  | { readonly kind: 'word'; readonly word: Amendment }
  | ({ readonly kind: 'value' } & ValueSet);

/** What one machine tells the others of its player, in one file. */
export interface Batch {
  /** Tells one player's machines from another's. */
  readonly person: string;
  /** How the player calls the machine that wrote it. */
  readonly machine: string;
  /** The student of a teacher whose passes and words these are; absent for the player's own, and for values. */
  readonly desk?: string | undefined;
  readonly facts: readonly Fact[];
}

const MAX_TURN = Number.MAX_SAFE_INTEGER - 1;

const factSchema: z.ZodType<Fact> = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('pass'), pass: passRecordSchema }),
  z.strictObject({ kind: z.literal('bars'), unit: playedUnitSchema }),
  z.strictObject({ kind: z.literal('word'), word: amendmentSchema }),
  z.strictObject({
    kind: z.literal('value'),
    key: z.string().min(1).max(1_000),
    value: z.json(),
    turn: z.int().min(1).max(MAX_TURN),
    over: shortText.optional(),
    by: z.strictObject({ writer: identity, machine: z.string().max(MAX_FIELD) }).optional(),
  }),
]);

export const batchSchema: z.ZodType<Batch> = z.strictObject({
  person: z.string().regex(/^[0-9a-f]{32}$/, 'is not a player'),
  machine: z.string().max(MAX_FIELD),
  desk: identity.optional(),
  facts: z.array(factSchema).max(20_000),
});

// Checks pointers at units where data comes in. Apart from the keys, so that the view reads them without it.
import { z } from 'zod';
import { barCount, formEntry, shortText } from '../base/fields.ts';
import { LEAD_REACHES, type UnitKind, type UnitRef } from '../model/unit.ts';
import { todaysKey, todaysKind, UNIT_KINDS } from './keys.ts';

const table: { readonly [K in UnitKind]: z.ZodType<UnitRef<K>> } = {
  section: z.strictObject({ kind: z.literal('section'), section: shortText }),
  bars: z.strictObject({
    kind: z.literal('bars'),
    section: shortText,
    from: barCount,
    to: barCount,
  }),
  lead: z.strictObject({
    kind: z.literal('lead'),
    section: shortText,
    lead: shortText,
    part: shortText,
    reach: z.enum(LEAD_REACHES),
  }),
  join: z.strictObject({
    kind: z.literal('join'),
    entry: formEntry,
    before: barCount,
    after: barCount,
  }),
  hardest: z.strictObject({ kind: z.literal('hardest'), section: shortText }),
  pair: z.strictObject({ kind: z.literal('pair'), from: shortText, to: shortText }),
  stretch: z.strictObject({ kind: z.literal('stretch'), fromEntry: formEntry, toEntry: formEntry }),
  form: z.strictObject({ kind: z.literal('form') }),
};

const [first, ...others] = UNIT_KINDS.map((kind) => table[kind]);

/** Checks any pointer at a unit; words of earlier versions are read as today's. */
export const unitRefSchema: z.ZodType<UnitRef> = z.preprocess(
  todaysRef,
  z.union([first!, ...others]),
);

/** A unit's key; words of earlier versions are read as today's. */
export const unitKeySchema = shortText.transform(todaysKey);

function todaysRef(ref: unknown): unknown {
  if (typeof ref !== 'object' || ref === null || !('kind' in ref)) return ref;
  const { kind, ...rest } = ref as Record<string, unknown>;
  if (typeof kind !== 'string') return ref;
  if (kind !== 'line') return { kind: todaysKind(kind), ...rest };
  const { line, ...place } = rest;
  return { kind: 'lead', lead: line, ...place };
}

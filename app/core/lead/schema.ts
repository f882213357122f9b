// The shape of a lead in JSON; the rules that its types cannot state are in `chart/rules/leads.ts`.
import { z } from 'zod';
import {
  MAX_FRET,
  MAX_LINES,
  MAX_LINE_EVENTS,
  MAX_NAME,
  MAX_PARTS,
  MAX_SECTION_BARS,
} from '../model/limits.ts';
import { JOININGS, type Lead, REACHES } from '../model/lead.ts';

const fret = z.int().min(0).max(MAX_FRET);

const valueSchema = z
  .strictObject({
    of: z.literal([1, 2, 4, 8, 16]),
    shape: z.enum(['plain', 'dotted', 'triplet']),
  })
  .readonly();

const noteSchema = z
  .strictObject({
    string: z.int().min(1).max(6),
    fret: z.union([fret, z.literal('muted')]),
    reach: z.enum(REACHES),
    grace: z
      .strictObject({ fret, into: z.enum(JOININGS) })
      .readonly()
      .optional(),
    bend: z
      .strictObject({ semitones: z.literal([1, 2, 3]), release: z.boolean() })
      .readonly()
      .optional(),
    vibrato: z.literal(true).optional(),
    ring: z.literal(true).optional(),
  })
  .refine((note) => !note.grace || note.reach === 'picked', 'has a grace note and is not picked')
  .readonly();

const eventSchema = z.discriminatedUnion('kind', [
  z
    .strictObject({
      kind: z.literal('notes'),
      value: valueSchema,
      notes: z.array(noteSchema).min(1).max(6).readonly(),
    })
    .readonly(),
  z.strictObject({ kind: z.literal('hold'), value: valueSchema }).readonly(),
  z.strictObject({ kind: z.literal('rest'), value: valueSchema }).readonly(),
]);

const leadBarSchema = z
  .strictObject({ events: z.array(eventSchema).max(MAX_LINE_EVENTS).readonly() })
  .readonly();

const name = z.string().min(1).max(MAX_NAME);
const direction = z.enum(['up', 'down']);

const partSchema = z.discriminatedUnion('kind', [
  z
    .strictObject({
      kind: z.literal('written'),
      name,
      bars: z.array(leadBarSchema).min(1).max(MAX_SECTION_BARS).readonly(),
    })
    .readonly(),
  z
    .strictObject({
      kind: z.literal('derived'),
      name,
      from: name,
      by: z.discriminatedUnion('kind', [
        z.strictObject({ kind: z.literal('octave'), direction }).readonly(),
        z
          .strictObject({ kind: z.literal('scale'), interval: z.literal([3, 6]), direction })
          .readonly(),
      ]),
    })
    .readonly(),
]);

export const leadsSchema = z
  .array(
    z
      .strictObject({
        name,
        bar: z.int().min(1).max(MAX_SECTION_BARS),
        again: z
          .array(z.int().min(1).max(MAX_SECTION_BARS))
          .min(1)
          .max(MAX_SECTION_BARS)
          .readonly()
          .optional(),
        parts: z.array(partSchema).min(1).max(MAX_PARTS).readonly(),
      })
      .readonly(),
  )
  .min(1)
  .max(MAX_LINES)
  .readonly() satisfies z.ZodType<readonly Lead[]>;

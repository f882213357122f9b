// The shape of a chart in JSON, checked where data comes in: types, sizes, then the rules of `check.ts`.
import { z } from 'zod';
import { rational } from '../base/rational.ts';
import { BEAT_UNITS, MAX_BPM, MIN_BPM } from '../base/units.ts';
import { checkChart } from './check.ts';
import {
  MAX_BAR_CHORDS,
  MAX_CAPO,
  MAX_COMMENTS,
  MAX_FIELDS,
  MAX_FORM_ENTRIES,
  MAX_FRET,
  MAX_NAME,
  MAX_REMARK,
  MAX_REMARKS,
  MAX_REPEATS,
  MAX_SECTIONS,
  MAX_SECTION_BARS,
  MAX_SHAPES,
  MAX_STRUM_CELLS,
  MAX_SYLLABLE,
  MAX_SYLLABLES,
  MAX_SYMBOL,
  MAX_TIMES,
  MAX_TITLE,
  MAX_VERSES,
} from '../model/limits.ts';
import { MAX_NUMERATOR } from '../rhythm/meter.ts';
import { BAND_LEVELS, BASS_WORDS, DRUMS_WORDS } from '../model/band.ts';
import { type Chart, STROKE_TOUCHES } from '../model/chart.ts';
import { leadsSchema } from '../lead/schema.ts';

/** Far above any position in a chart, far below what products of two could lose. */
const MAX_RATIONAL = 1_000_000;

/** Zod asks this even of a number that is out of bounds already; such a one is not judged twice. */
const lowest = ({ n, d }: { n: number; d: number }): boolean =>
  !(Number.isSafeInteger(n) && d >= 1 && d <= MAX_RATIONAL) || rational(n, d).d === d;

export const rationalSchema = z
  .strictObject({
    n: z.int().min(-MAX_RATIONAL).max(MAX_RATIONAL),
    d: z.int().min(1).max(MAX_RATIONAL),
  })
  .refine(lowest, 'is not in lowest terms')
  .readonly();

export const beatUnitSchema = z.enum(BEAT_UNITS);

export const tempoSchema = z
  .strictObject({
    bpm: z.number().min(MIN_BPM).max(MAX_BPM),
    beat: beatUnitSchema,
  })
  .readonly();

export const meterSchema = z
  .strictObject({
    numerator: z.int().min(1).max(MAX_NUMERATOR),
    unit: z.literal([2, 4, 8, 16]),
    grouping: z.array(z.int().min(1).max(MAX_NUMERATOR)).min(1).max(MAX_NUMERATOR).readonly(),
  })
  .readonly();

export const feelSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('straight') }).readonly(),
  z
    .strictObject({
      kind: z.literal('swing'),
      value: z.literal([8, 16]),
      long: z.int().min(1).max(99),
      short: z.int().min(1).max(99),
    })
    .readonly(),
]);

const bandSchema = z
  .strictObject({
    drums: z.enum(DRUMS_WORDS).optional(),
    bass: z.enum(BASS_WORDS).optional(),
    level: z.enum(BAND_LEVELS).optional(),
  })
  .readonly();

const tuningSchema = z
  .strictObject({
    name: z.string().max(MAX_NAME),
    strings: z.array(z.int().min(0).max(127)).length(6).readonly(),
  })
  .readonly();

const fretsSchema = z
  .array(z.union([z.int().min(0).max(MAX_FRET), z.null()]))
  .length(6)
  .readonly();

export const chordAtSchema = z
  .strictObject({
    at: rationalSchema,
    symbol: z.string().min(1).max(MAX_SYMBOL),
    shape: fretsSchema.optional(),
    kept: z.literal(true).optional(),
    slide: z.literal(true).optional(),
    remark: z.string().min(1).max(MAX_REMARK).optional(),
  })
  .readonly();

export const strumSchema = z
  .strictObject({
    grid: z.literal([2, 3, 4]),
    cells: z
      .array(
        z.discriminatedUnion('kind', [
          z
            .strictObject({
              kind: z.literal('stroke'),
              direction: z.enum(['down', 'up']),
              accent: z.boolean(),
              muted: z.boolean(),
              touch: z.enum(STROKE_TOUCHES).optional(),
            })
            .readonly(),
          z.strictObject({ kind: z.literal('ring') }).readonly(),
          z.strictObject({ kind: z.literal('rest') }).readonly(),
        ]),
      )
      .min(1)
      .max(MAX_STRUM_CELLS)
      .readonly(),
  })
  .readonly();

const contentSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('simile') }).readonly(),
  z
    .strictObject({
      kind: z.literal('chords'),
      chords: z.array(chordAtSchema).max(MAX_BAR_CHORDS).readonly(),
    })
    .readonly(),
]);

const syllableSchema = z
  .strictObject({
    text: z.string().min(1).max(MAX_SYLLABLE),
    joined: z.literal(true).optional(),
    at: rationalSchema.optional(),
  })
  .readonly();

const paceSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.enum(['slower', 'faster']), to: z.number().optional() }).readonly(),
  z.strictObject({ kind: z.literal('a-tempo') }).readonly(),
]);

const commentsSchema = z.array(z.string().max(MAX_REMARK)).min(1).max(MAX_COMMENTS).readonly();

const barSchema = z
  .strictObject({
    content: contentSchema,
    meter: meterSchema.optional(),
    pickup: rationalSchema.optional(),
    repeatStart: z.literal(true).optional(),
    repeatEnd: z.int().min(2).max(MAX_REPEATS).optional(),
    endings: z.array(z.int().min(1).max(MAX_REPEATS)).min(1).max(MAX_REPEATS).readonly().optional(),
    strum: strumSchema.optional(),
    pace: paceSchema.optional(),
    fermata: z.strictObject({ at: rationalSchema, extra: z.int() }).readonly().optional(),
    words: z
      .array(z.array(syllableSchema).max(MAX_SYLLABLES).readonly())
      .min(1)
      .max(MAX_VERSES)
      .readonly()
      .optional(),
    remark: z.string().min(1).max(MAX_REMARK).optional(),
    comments: commentsSchema.optional(),
  })
  .readonly();

const barsSchema = z.array(barSchema).max(MAX_SECTION_BARS).readonly();

/** Version 0.1 called leads phrases. */
function withTodaysLeads(section: unknown): unknown {
  if (typeof section !== 'object' || section === null || !('phrases' in section)) return section;
  const { phrases, ...rest } = section;
  return { ...rest, leads: phrases };
}

const sectionSchema = z.preprocess(
  withTodaysLeads,
  z
    .strictObject({
      name: z.string().min(1).max(MAX_NAME),
      tempo: tempoSchema.optional(),
      meter: meterSchema.optional(),
      feel: feelSchema.optional(),
      band: bandSchema.optional(),
      strum: strumSchema.optional(),
      like: z
        .strictObject({
          section: z.string().min(1).max(MAX_NAME),
          from: z.int().min(1).max(MAX_SECTION_BARS).optional(),
          to: z.int().min(1).max(MAX_SECTION_BARS).optional(),
        })
        .readonly()
        .optional(),
      bars: barsSchema,
      remarks: z
        .array(z.string().min(1).max(MAX_REMARK))
        .min(1)
        .max(MAX_REMARKS)
        .readonly()
        .optional(),
      comments: commentsSchema.optional(),
      leads: leadsSchema.optional(),
    })
    .readonly(),
);

const formEntrySchema = z
  .strictObject({
    section: z.string().min(1).max(MAX_NAME),
    times: z.int().min(1).max(MAX_TIMES),
    ending: z
      .strictObject({ kind: z.enum(['replace', 'add']), bars: barsSchema })
      .readonly()
      .optional(),
    comments: commentsSchema.optional(),
  })
  .readonly();

/** Identities are given by the library: letters, digits and hyphens, safe in file names and addresses. */
const chartIdSchema = z.string().regex(/^[A-Za-z0-9-]{1,64}$/, 'is not a chart’s identity');

/** Types and sizes only. */
const chartShape = z
  .strictObject({
    id: chartIdSchema,
    title: z.string().min(1).max(MAX_TITLE),
    by: z.string().min(1).max(MAX_REMARK).optional(),
    names: z.literal('german').optional(),
    tempo: tempoSchema,
    meter: meterSchema,
    feel: feelSchema,
    band: bandSchema.optional(),
    key: z.string().max(MAX_NAME).optional(),
    capo: z.int().min(0).max(MAX_CAPO),
    tuning: tuningSchema,
    shapes: z
      .array(
        z
          .strictObject({
            symbol: z.string().min(1).max(MAX_SYMBOL),
            frets: fretsSchema,
            kept: z.literal(true).optional(),
          })
          .readonly(),
      )
      .max(MAX_SHAPES)
      .readonly(),
    fields: z
      .array(
        z
          .strictObject({
            name: z.string().min(1).max(MAX_NAME),
            value: z.string().max(MAX_REMARK),
          })
          .readonly(),
      )
      .min(1)
      .max(MAX_FIELDS)
      .readonly()
      .optional(),
    comments: z
      .array(
        z
          .strictObject({
            before: z.string().max(MAX_NAME + MAX_SYMBOL),
            text: z.string().max(MAX_REMARK),
          })
          .readonly(),
      )
      .min(1)
      .max(MAX_COMMENTS)
      .readonly()
      .optional(),
    sections: z.array(sectionSchema).max(MAX_SECTIONS).readonly(),
    form: z.array(formEntrySchema).max(MAX_FORM_ENTRIES).readonly(),
  })
  .readonly();

/** A whole chart: its shape, then – only where that holds – every rule of `checkChart`. */
export const chartSchema = chartShape.pipe(
  z.custom<Chart>().superRefine((chart, context) => {
    for (const { code, message, cure } of checkChart(chart)) {
      context.addIssue({ code: 'custom', message, params: { code, cure } });
    }
  }),
);

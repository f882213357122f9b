// The shape of what the log and the desk keep, checked where data comes in and trusted afterwards.
import { z } from 'zod';
import { beatUnitSchema } from '../chart/schema.ts';
import type { LoggedBar } from '../model/unit.ts';
import { MAX_FIELD, count, isoTime, shortText } from '../base/fields.ts';
import {
  CLIMB_SOURCES,
  DETOURS,
  HEARD_CHORDS,
  PASS_VERDICTS,
  STEPS_TAKEN,
  TIMINGS,
  VERDICTS,
  VERDICT_SOURCES,
} from '../model/pass.ts';
import type {
  Amendment,
  Broke,
  ChangeHeard,
  LogEntry,
  PassRecord,
  PlayedUnit,
  TeachersWord,
  WordOnPass,
} from '../model/pass.ts';
import { MAX_REMARK } from './teachers-word.ts';

const verdictSchema = z.enum(VERDICTS);
const wideVerdict = z.enum(PASS_VERDICTS);
const climbSource = z.enum(CLIMB_SOURCES);
const verdictSource = z.enum(VERDICT_SOURCES);

const changeHeardSchema = z.strictObject({
  bar: count,
  change: count,
  from: z.string().max(MAX_FIELD),
  to: z.string().max(MAX_FIELD),
  offset: z.number().optional(),
  timing: z.enum(TIMINGS),
  chord: z.enum(HEARD_CHORDS),
  heard: z.string().max(MAX_FIELD).optional(),
  dead: z
    .array(z.literal([1, 2, 3, 4, 5, 6]))
    .max(6)
    .optional(),
  fingers: z
    .array(z.literal([1, 2, 3, 4, 'T', null]))
    .max(6)
    .optional(),
  extra: z.int().min(0).max(127).optional(),
  ringing: z.literal([1, 2, 3, 4, 5, 6]).optional(),
  confidence: z.number().min(0).max(1),
}) satisfies z.ZodType<ChangeHeard>;

const brokeSchema = z.strictObject({
  bar: count,
  change: count,
  from: z.string().max(MAX_FIELD),
  to: z.string().max(MAX_FIELD),
  by: climbSource,
}) satisfies z.ZodType<Broke>;

const teachersWordSchema = z.strictObject({
  at: isoTime,
  verdict: z.enum([...verdictSchema.options, 'as-before']),
  source: z.literal('teacher'),
  by: z.string().max(MAX_FIELD).optional(),
  remark: z.string().min(1).max(MAX_REMARK).optional(),
}) satisfies z.ZodType<TeachersWord>;

/** Changes of a pass, by their number in the unit. */
const changeNumbers = z.array(count).min(1).max(10_000);

/** Loose: a field that a later version adds is kept, never a reason to lose a pass. */
export const passRecordSchema = z.looseObject({
  id: shortText,
  at: isoTime,
  session: shortText,
  climb: shortText,
  chart: z.looseObject({ id: shortText, title: z.string().max(MAX_FIELD) }),
  unit: z.looseObject({
    key: shortText,
    name: z.string().max(MAX_FIELD),
    fingerprint: shortText,
  }),
  rung: z.strictObject({
    bpm: z.number().positive().max(1000),
    beat: beatUnitSchema,
    index: count,
    of: count,
    target: z.number().positive().max(1000),
  }),
  verdict: wideVerdict,
  source: verdictSource,
  earVerdict: verdictSchema.optional(),
  cold: z.boolean(),
  duration: z.number().min(0).max(86_400),
  changes: z.array(changeHeardSchema).max(10_000).optional(),
  played: changeNumbers.optional(),
  broke: brokeSchema.optional(),
  after: z.enum(STEPS_TAKEN).optional(),
  within: z.enum(DETOURS).optional(),
  underrun: z.literal(true).optional(),
  word: z
    .looseObject({
      ...teachersWordSchema.shape,
      before: z.looseObject({ verdict: wideVerdict, source: verdictSource }),
    })
    .optional(),
}) satisfies z.ZodType<PassRecord>;

export const wordOnPassSchema = teachersWordSchema.extend({
  amends: shortText,
}) satisfies z.ZodType<WordOnPass>;

export const amendmentSchema = z.discriminatedUnion('source', [
  z.strictObject({
    amends: shortText,
    at: isoTime,
    verdict: wideVerdict,
    source: climbSource,
    broke: brokeSchema.optional(),
    played: changeNumbers.optional(),
    turn: z.int().min(1).max(1_000_000_000).optional(),
  }),
  wordOnPassSchema,
]) satisfies z.ZodType<Amendment>;

/** Bars are kept as they came: their shape belongs to the chart and may grow; size and kind are bounded. */
const loggedBarSchema = z.custom<LoggedBar>(
  (bar) => typeof bar === 'object' && bar !== null && 'length' in bar && 'chords' in bar,
  'is not a bar as it was played',
);

export const playedUnitSchema = z.looseObject({
  fingerprint: shortText,
  bars: z.array(loggedBarSchema).max(20_000),
}) satisfies z.ZodType<PlayedUnit>;

const passEntrySchema = z
  .strictObject({ kind: z.literal('pass'), pass: passRecordSchema, unit: playedUnitSchema })
  .refine((entry) => entry.pass.unit.fingerprint === entry.unit.fingerprint, {
    message: 'the bars are not those of the pass: their fingerprints differ',
    path: ['unit', 'fingerprint'],
  });

export const logEntrySchema = z.discriminatedUnion('kind', [
  passEntrySchema,
  z.strictObject({ kind: z.literal('amendment'), amendment: amendmentSchema }),
]) satisfies z.ZodType<LogEntry>;

// The shape of what the log and the desk keep, checked where data comes in and trusted afterwards.
import { z } from 'zod';
import { beatUnitSchema } from '../chart/schema.ts';
import type { LoggedBar } from '../model/unit.ts';
import type { LadderRules } from '../ladder/model.ts';
import { MAX_BPM, MIN_BPM } from '../base/units.ts';
import type {
  Amendment,
  ChangeHeard,
  LogEntry,
  PassRecord,
  PlayedUnit,
  TeachersWord,
  WordOnPass,
} from '../model/pass.ts';
import { MAX_REMARK } from './teachers-word.ts';

/** Longest identifier, name or key that is stored; longer ones are a mistake or an attack. */
export const MAX_TEXT = 400;

export const shortText = z.string().min(1).max(MAX_TEXT);
/** ISO 8601 with offset: what a record's `at` must be. */
export const isoTime = z.iso.datetime({ offset: true });

const bpm = z.number().min(MIN_BPM).max(MAX_BPM);
const count = z.int().min(0).max(1_000_000);

const verdictSchema = z.enum(['clean', 'missed']);
const wideVerdict = z.enum(['clean', 'missed', 'unjudged']);
const climbSource = z.enum(['self', 'ear', 'pedal']);
const verdictSource = z.enum([...climbSource.options, 'teacher']);

const stepSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('bpm'), by: z.number().positive().max(MAX_BPM) }),
  z.strictObject({ kind: z.literal('percent'), by: z.number().positive().max(100) }),
]);

export const ladderRulesSchema = z.strictObject({
  start: bpm,
  target: bpm,
  beat: beatUnitSchema,
  step: stepSchema,
  route: z.enum(['straight', 'leap', 'at-target']),
  above: z.int().min(0).max(5),
  cleanToClimb: z.int().min(1).max(10),
  missedToDrop: z.int().min(1).max(10),
  drop: z.enum(['one-rung', 'half-way']),
  longestOnRung: count,
  maxPasses: count,
  maxMinutes: z
    .number()
    .min(0)
    .max(24 * 60),
  restBars: z.int().min(0).max(4),
}) satisfies z.ZodType<LadderRules>;

const changeHeardSchema = z.strictObject({
  bar: count,
  change: count,
  from: z.string().max(MAX_TEXT),
  to: z.string().max(MAX_TEXT),
  offset: z.number().optional(),
  timing: z.enum(['on-time', 'early', 'late', 'silent', 'unsure']),
  chord: z.enum(['right', 'held', 'other', 'muted', 'silent', 'unsure']),
  heard: z.string().max(MAX_TEXT).optional(),
  confidence: z.number().min(0).max(1),
}) satisfies z.ZodType<ChangeHeard>;

const teachersWordSchema = z.strictObject({
  at: isoTime,
  verdict: z.enum([...verdictSchema.options, 'as-before']),
  source: z.literal('teacher'),
  by: z.string().max(MAX_TEXT).optional(),
  remark: z.string().min(1).max(MAX_REMARK).optional(),
}) satisfies z.ZodType<TeachersWord>;

/** Loose: a field that a later version adds is kept, never a reason to lose a pass. */
export const passRecordSchema = z.looseObject({
  id: shortText,
  at: isoTime,
  session: shortText,
  climb: shortText,
  chart: z.looseObject({ id: shortText, title: z.string().max(MAX_TEXT) }),
  unit: z.looseObject({
    key: shortText,
    name: z.string().max(MAX_TEXT),
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
  z.strictObject({ amends: shortText, at: isoTime, verdict: wideVerdict, source: climbSource }),
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

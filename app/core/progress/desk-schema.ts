// The shape of assignments, comments and students, checked where data comes in and trusted afterwards.
import { z } from 'zod';
import { isoDate } from '../base/fields.ts';
import { todaysKey, unitKey } from '../units/keys.ts';
import { unitRefSchema } from '../units/ref-schema.ts';
import type { Assignment, Comment, LessonNote, Student, Terms, WordOnBars } from './assignment.ts';
import {
  LEARNT,
  LEAST_PERCENT,
  MOST_PERCENT,
  MOST_TEMPLATES,
  MOST_WEEKS,
  type Template,
} from './template.ts';
import { isoTime, MAX_FIELD, shortText } from '../base/fields.ts';
import { ladderRulesSchema } from '../ladder/schema.ts';

/** Characters of a note or a comment. */
const MAX_NOTE = 4_000;
/** Assignments or comments of one student; more is a mistake or an attack. */
export const MAX_LIST = 2_000;
const MINUTES_IN_A_WEEK = 10_080;

/** Characters of an identity at most. */
export const MAX_IDENTITY = 64;
/** Letters, digits and hyphens: such an identity is safe in file names and addresses. */
export const identity = z
  .string()
  .regex(new RegExp(`^[A-Za-z0-9-]{1,${MAX_IDENTITY}}$`), 'is not an identity');
export { isoDate };
const note = z.string().max(MAX_NOTE);
const name = z.string().max(MAX_FIELD);

const termsSchema = z.strictObject({
  rules: ladderRulesSchema,
  due: isoDate.optional(),
  minutesPerWeek: z.number().positive().max(MINUTES_IN_A_WEEK).optional(),
  note,
}) satisfies z.ZodType<Terms>;

const chartNameSchema = z.strictObject({ id: identity, title: name });

const wordOnBarsSchema = z.strictObject({
  fingerprint: shortText,
  at: isoTime,
  counts: z.boolean(),
}) satisfies z.ZodType<WordOnBars>;

export const assignmentSchema = z.strictObject({
  id: identity,
  chart: chartNameSchema,
  unit: z
    .strictObject({ ref: unitRefSchema, key: shortText, name })
    .refine(({ ref, key }) => unitKey(ref) === todaysKey(key), 'names two different units')
    .transform((unit) => ({ ...unit, key: todaysKey(unit.key) })),
  terms: termsSchema,
  given: isoTime,
  by: name,
  earlier: z.array(z.strictObject({ until: isoTime, terms: termsSchema })).max(MAX_LIST),
  withdrawn: isoTime.optional(),
  bars: z.strictObject({ fingerprint: shortText, since: isoTime }).optional(),
  otherBars: z.array(wordOnBarsSchema).max(MAX_LIST).optional(),
}) satisfies z.ZodType<Assignment>;

export const commentSchema = z.strictObject({
  id: identity,
  at: isoTime,
  by: name,
  text: z.string().min(1).max(MAX_NOTE),
  assignment: identity.optional(),
  question: z.literal(true).optional(),
}) satisfies z.ZodType<Comment>;

const lessonNoteSchema = z.strictObject({
  id: identity,
  on: isoDate,
  text: note,
  agreed: z.array(z.string().max(MAX_FIELD)).max(100),
}) satisfies z.ZodType<LessonNote>;

const percent = z.number().min(LEAST_PERCENT).max(MOST_PERCENT);
const templateSchema = z.strictObject({
  id: identity,
  name: shortText,
  weeks: z.record(z.enum(LEARNT), z.int().min(1).max(MOST_WEEKS)),
  percent: z.record(z.enum(LEARNT), percent),
}) satisfies z.ZodType<Template>;

/** Which of several students of one name, in the order in which they came. */
export const namesake = z.int().min(1).max(100_000);

export const studentSchema = z
  .strictObject({
    id: identity,
    name,
    since: isoTime,
    assignments: z.array(assignmentSchema).max(MAX_LIST),
    comments: z.array(commentSchema).max(MAX_LIST),
    lastReport: isoTime.optional(),
    knownAs: z.strictObject({ id: identity, name }).optional(),
    knownTo: z
      .array(z.strictObject({ id: identity, name, teacher: name, number: namesake.optional() }))
      .max(100)
      .optional(),
    lessons: z.array(lessonNoteSchema).max(MAX_LIST).optional(),
    group: shortText.optional(),
    lessonDay: z.int().min(1).max(7).optional(),
    templates: z.array(templateSchema).max(MOST_TEMPLATES).optional(),
    answered: z.array(identity).max(MAX_LIST).optional(),
    reportsAs: z.array(identity).max(100).optional(),
  })
  .superRefine((student, context) => {
    for (const list of ['assignments', 'comments'] as const) {
      const twice = firstTwice(student[list].map(({ id }) => id));
      if (twice !== undefined) {
        context.addIssue({ code: 'custom', path: [list], message: `holds ‘${twice}’ twice` });
      }
    }
  }) satisfies z.ZodType<Student>;

/** The first value that stands in the list a second time. */
export function firstTwice(values: readonly string[]): string | undefined {
  const seen = new Set<string>();
  for (const value of values) {
    if (seen.has(value)) return value;
    seen.add(value);
  }
  return undefined;
}

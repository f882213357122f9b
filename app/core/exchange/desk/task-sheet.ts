// Task sheet: what a teacher hands a student, in one file, with the charts it needs inside.
//
// The file is JSON: {"format": "rungwise-task-sheet", "schemaVersion": 4, written, teacher, student, charts,
// assignments, comments, words}; version 1 had no words, version 2 did not say which bars were set,
// version 3 not which of two students of one name is meant. The form is open; assets/schemas/task-sheet.schema.json states it as JSON Schema
// (draft 2020-12), generated from the schema below.
import { z } from 'zod';
import type { Chart } from '../../model/chart.ts';
import { chartSchema } from '../../chart/schema.ts';
import type { Assignment, Comment } from '../../progress/assignment.ts';
import {
  assignmentSchema,
  commentSchema,
  firstTwice,
  identity,
  isoDate,
  MAX_LIST,
  namesake,
} from '../../progress/desk-schema.ts';
import { instantOf } from '../../log/history.ts';
import type { Listed } from '../../progress/whose.ts';
import type { WordOnPass } from '../../model/pass.ts';
import { isoTime, MAX_FIELD } from '../../base/fields.ts';
import { wordOnPassSchema } from '../../log/schema.ts';
import type { Problem, Result } from '../../base/result.ts';
import type { IsoTime } from '../../base/units.ts';
import { type FileForm, type Opened, openEnvelope, writeEnvelope } from './envelope.ts';

export interface TaskSheet {
  readonly written: IsoTime;
  readonly teacher: { readonly name: string };
  readonly student: Listed;
  readonly charts: readonly Chart[];
  readonly assignments: readonly Assignment[];
  readonly comments: readonly Comment[];
  /** The latest on every pass that the teacher spoke about. */
  readonly words: readonly WordOnPass[];
}

const name = z.string().max(MAX_FIELD);
const MAX_CHARTS = 500;
/** More passes than anyone hears one by one. */
const MAX_WORDS = 20_000;

export const personSchema = z.strictObject({ id: identity, name });
export const chartsSchema = z.array(chartSchema).max(MAX_CHARTS);

const sheetSchema: z.ZodType<TaskSheet> = z.strictObject({
  written: isoTime,
  teacher: z.strictObject({ name }),
  student: personSchema.extend({ number: namesake.optional() }),
  charts: chartsSchema,
  assignments: z.array(assignmentSchema).max(MAX_LIST),
  comments: z.array(commentSchema).max(MAX_LIST),
  words: z.array(wordOnPassSchema).max(MAX_WORDS),
});

export const taskSheetForm: FileForm<TaskSheet> = {
  format: 'rungwise-task-sheet',
  name: 'a task sheet',
  schemaVersion: 4,
  migrations: [
    (content) => ({ words: [], ...content }),
    (content) => content,
    (content) => content,
  ],
  maxCharacters: 16_000_000,
  schema: sheetSchema,
  flaws: (sheet) => [
    ...twice('charts', sheet.charts),
    ...twice('assignments', sheet.assignments),
    ...twice('comments', sheet.comments),
    ...twice(
      'words',
      sheet.words.map(({ amends: id }) => ({ id })),
    ),
    ...missingCharts(sheet),
  ],
  warnings: (sheet, now) => [
    ...aheadOf(now, [sheet.written, ...sheet.words.map(({ at }) => at)], 'This sheet'),
    ...longPast(sheet),
  ],
};

/** The text of a task sheet's file. */
export const writeTaskSheet = (sheet: TaskSheet): string => writeEnvelope(taskSheetForm, sheet);

/** @param now to see whether the sheet's clock runs ahead. */
export const readTaskSheet = (text: string, now: IsoTime): Result<Opened<TaskSheet>> =>
  openEnvelope(taskSheetForm, text, now);

/** Refusals for identities that stand twice in one list. */
export function twice(what: string, list: readonly { readonly id: string }[]): Problem[] {
  const id = firstTwice(list.map((item) => item.id));
  if (id === undefined) return [];
  return [
    {
      code: 'duplicate-id',
      message: `two ${what} of this file bear the same identity ‘${id}’`,
      cure: 'Ask for the file again; nothing of it was used.',
    },
  ];
}

function missingCharts({ charts, assignments }: TaskSheet): Problem[] {
  const inside = new Set(charts.map(({ id }) => id));
  const missing = assignments.find(({ chart }) => !inside.has(chart.id));
  if (!missing) return [];
  return [
    {
      code: 'chart-missing',
      message: `the assignment ‘${missing.unit.name}’ needs the chart ‘${missing.chart.title}’, which is not inside`,
      cure: 'Ask for the task sheet again; nothing of it was used.',
    },
  ];
}

/** Clocks differ by minutes; this much is a wrong date. */
const CLOCK_SLACK_MS = 10 * 60_000;

/** A warning where times lie ahead of `now`, whatever their offsets. */
export function aheadOf(now: IsoTime, times: readonly IsoTime[], what: string): Problem[] {
  const limit = instantOf(now) + CLOCK_SLACK_MS;
  const ahead = times.filter((at) => instantOf(at) > limit);
  if (ahead.length === 0) return [];
  const latest = ahead.reduce((a, b) => (instantOf(b) > instantOf(a) ? b : a));
  const count = times.length === 1 ? 'is' : `has ${ahead.length} of ${times.length} entries`;
  return [
    {
      code: 'clock-ahead',
      message: `${what} ${count} dated after now (${latest.slice(0, 16).replace('T', ' ')}): the other clock was wrong, or this one is.`,
      cure: 'It is taken with its dates; entries count from their date on. Check both clocks.',
    },
  ];
}

function longPast({ assignments, written }: TaskSheet): Problem[] {
  const day = isoDate.parse(written.slice(0, 10));
  const past = assignments.filter(
    ({ terms, withdrawn }) => !withdrawn && terms.due !== undefined && terms.due < day,
  );
  if (past.length === 0) return [];
  return [
    {
      code: 'due-before-written',
      message: `${past.length === 1 ? 'One due date lies' : `${past.length} due dates lie`} before the day this sheet was written, first ‘${past[0]!.unit.name}’ on ${past[0]!.terms.due}.`,
      cure: 'It is taken as it is; ask whether the date was meant.',
    },
  ];
}

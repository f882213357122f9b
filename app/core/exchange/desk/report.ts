// Practice report: what a student hands back, in one file: passes, owned tempos, and who judged.
//
// The file is JSON: {"format": "rungwise-practice-report", "schemaVersion": 2, written, student, teacher, charts,
// assignments, units, passes, owned, questions}; version 1 did not say for which teacher it is, and had
// no questions. The form is open; assets/schemas/practice-report.schema.json states
// it as JSON Schema (draft 2020-12), generated from the schema below.
import { eachOf } from '../../base/each-of.ts';
import { own } from '../../base/own.ts';
import { z } from 'zod';
import type { Chart } from '../../model/chart.ts';
import {
  chordAtSchema,
  feelSchema,
  meterSchema,
  rationalSchema,
  strumSchema,
  tempoSchema,
} from '../../chart/schema.ts';
import type { LoggedBar } from '../../model/unit.ts';
import { active, type Assignment, type Comment } from '../../progress/assignment.ts';
import { localDate } from '../../log/days.ts';
import {
  assignmentSchema,
  commentSchema,
  firstTwice,
  MAX_LIST,
} from '../../progress/desk-schema.ts';
import { nextDayTempo, type OwnedTempo, ownedTempo } from '../../progress/owned-tempo.ts';
import { groupByUnit, unitId } from '../../log/per-unit.ts';
import { type PassRecord, type PlayedUnit, VERDICT_SOURCES } from '../../model/pass.ts';
import { isoTime, shortText } from '../../base/fields.ts';
import { passRecordSchema } from '../../log/schema.ts';
import { unitKeySchema } from '../../units/ref-schema.ts';
import type { Problem, Result } from '../../base/result.ts';
import type { IsoTime } from '../../base/units.ts';
import { type FileForm, type Opened, openEnvelope, writeEnvelope } from './envelope.ts';
import { aheadOf, chartsSchema, personSchema, twice } from './task-sheet.ts';

/** What the student's own program says of a unit on the day of the report. */
export interface OwnedLead {
  readonly chart: PassRecord['chart'];
  readonly unit: { readonly key: string; readonly name: string };
  readonly beat: PassRecord['rung']['beat'];
  readonly owned: OwnedTempo;
  readonly nextDay: OwnedTempo;
}

export interface PracticeReport {
  readonly written: IsoTime;
  readonly student: { readonly id: string; readonly name: string };
  /** For whom it is, as they call themselves; may be empty. */
  readonly teacher: { readonly name: string };
  readonly charts: readonly Chart[];
  readonly assignments: readonly Assignment[];
  /** The bars of every fingerprint that `passes` names. */
  readonly units: readonly PlayedUnit[];
  /** In time order, latest verdicts applied; each says who judged. */
  readonly passes: readonly PassRecord[];
  readonly owned: readonly OwnedLead[];
  /** What the student asks. */
  readonly questions: readonly Comment[];
}

const tempo = z.number().positive().max(2_000);
const count = z.number().min(0).max(10_000_000);
const evidence = z.strictObject({
  passes: count,
  /** Written by earlier versions. */
  weight: count.optional(),
  judgedBy: z.strictObject(eachOf(VERDICT_SOURCES, () => count)),
  lastPlayed: z.iso.date().optional(),
});
const ownedTempoSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('number'), bpm: tempo, low: tempo, high: tempo, evidence }),
  z.strictObject({ kind: z.literal('at-least'), bpm: tempo, evidence }),
  z.strictObject({ kind: z.literal('below'), bpm: tempo, evidence }),
  z.strictObject({ kind: z.literal('not-enough'), evidence }),
]) satisfies z.ZodType<OwnedTempo>;

/** Later versions may know more of a bar; what this one draws is checked. */
const loggedBarSchema = z.looseObject({
  section: z.string().max(400),
  bar: z.int().min(0).max(1_000_000),
  time: z.int().min(0).max(1_000_000),
  meter: meterSchema,
  feel: feelSchema,
  tempo: tempoSchema,
  length: rationalSchema,
  pickup: z.boolean(),
  strum: strumSchema.optional(),
  held: z.string().max(400).optional(),
  chords: z.array(chordAtSchema).max(64),
}) satisfies z.ZodType<LoggedBar>;

const MAX_UNITS = 20_000;
const MAX_PASSES = 1_000_000;
/** Bars of one unit: the longest form a chart may have is shorter. */
const MAX_BARS = 20_000;

const reportSchema: z.ZodType<PracticeReport> = z.strictObject({
  written: isoTime,
  student: personSchema,
  teacher: z.strictObject({ name: z.string().max(400) }),
  charts: chartsSchema,
  assignments: z.array(assignmentSchema).max(MAX_LIST),
  units: z
    .array(z.looseObject({ fingerprint: shortText, bars: z.array(loggedBarSchema).max(MAX_BARS) }))
    .max(MAX_UNITS),
  passes: z.array(passRecordSchema).max(MAX_PASSES),
  owned: z
    .array(
      z.strictObject({
        chart: z.strictObject({ id: shortText, title: z.string().max(400) }),
        unit: z.strictObject({ key: unitKeySchema, name: z.string().max(400) }),
        beat: passRecordSchema.shape.rung.shape.beat,
        owned: ownedTempoSchema,
        nextDay: ownedTempoSchema,
      }),
    )
    .max(MAX_UNITS),
  questions: z.array(commentSchema).max(MAX_LIST),
});

export const reportForm: FileForm<PracticeReport> = {
  format: 'rungwise-practice-report',
  name: 'a practice report',
  schemaVersion: 2,
  migrations: [(content) => ({ teacher: { name: '' }, questions: [], ...content })],
  maxCharacters: 128_000_000,
  schema: reportSchema,
  flaws: (report) => [
    ...twice('charts', report.charts),
    ...twice('assignments', report.assignments),
    ...twice('passes', report.passes),
    ...unitsTwice(report),
    ...missingUnits(report),
  ],
  warnings: (report, now) => [
    ...aheadOf(now, [report.written], 'This report'),
    ...aheadOf(
      now,
      report.passes.map(({ at }) => at),
      'It',
    ),
  ],
};

/** The text of a report's file. */
export const writeReport = (report: PracticeReport): string => writeEnvelope(reportForm, report);

/** @param now to see whether clocks run ahead. */
export const readReport = (text: string, now: IsoTime): Result<Opened<PracticeReport>> =>
  openEnvelope(reportForm, text, now);

export interface ReportSource {
  readonly now: IsoTime;
  readonly student: PracticeReport['student'];
  readonly teacher?: PracticeReport['teacher'];
  readonly charts: readonly Chart[];
  readonly assignments: readonly Assignment[];
  /** All comments; what the student asks is taken from them. */
  readonly comments?: readonly Comment[];
  /** The whole log, settled, in time order. */
  readonly passes: readonly PassRecord[];
  readonly units: Readonly<Record<string, PlayedUnit>>;
  /** Passes that ended before are left out; owned tempos still rest on all. */
  readonly since?: IsoTime;
}

/** Puts together what a report holds: only charts and bars that its passes and assignments need. */
export function composeReport(source: ReportSource): PracticeReport {
  const { now, since } = source;
  const from = since === undefined ? -Infinity : Date.parse(since);
  const passes = source.passes.filter(({ at }) => Date.parse(at) >= from);
  const assignments = active(source.assignments);
  const charts = new Set([...passes, ...assignments].map(({ chart }) => chart.id));
  const fingerprints = new Set(passes.map(({ unit }) => unit.fingerprint));
  return {
    written: now,
    student: source.student,
    teacher: source.teacher ?? { name: '' },
    charts: source.charts.filter(({ id }) => charts.has(id)),
    assignments,
    units: [...fingerprints].flatMap((print) => own(source.units, print) ?? []),
    passes,
    owned: ownedLeads(source, new Set(passes.map(unitId))),
    questions: (source.comments ?? []).filter(({ question }) => question === true),
  };
}

function ownedLeads({ passes, now }: ReportSource, wanted: ReadonlySet<string>): OwnedLead[] {
  const today = localDate(now);
  return [...groupByUnit(passes)].flatMap(([id, those]) => {
    if (!wanted.has(id)) return [];
    const { chart, unit, rung } = those.at(-1)!;
    return {
      chart,
      unit: { key: unit.key, name: unit.name },
      beat: rung.beat,
      owned: ownedTempo(those, rung.beat, today),
      nextDay: nextDayTempo(those, rung.beat, today),
    };
  });
}

function unitsTwice({ units }: PracticeReport): Problem[] {
  const print = firstTwice(units.map(({ fingerprint }) => fingerprint));
  return print === undefined ? [] : twice('units', [{ id: print }, { id: print }]);
}

function missingUnits({ units, passes }: PracticeReport): Problem[] {
  const inside = new Set(units.map(({ fingerprint }) => fingerprint));
  const missing = passes.find(({ unit }) => !inside.has(unit.fingerprint));
  if (!missing) return [];
  return [
    {
      code: 'bars-missing',
      message: `the bars of ‘${missing.unit.name}’ as they were played are not inside`,
      cure: 'Ask for the report again; nothing of it was used.',
    },
  ];
}

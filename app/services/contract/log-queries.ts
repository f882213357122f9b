// The questions the view asks of the log, and their answers.
import { z } from 'zod';
import { assignmentSchema, identity, MAX_LIST } from '../../core/progress/desk-schema.ts';
import type { AssignmentStanding } from '../../core/progress/placing.ts';
import { type Assignment, OWN_DESK } from '../../core/progress/assignment.ts';
import type { BeatUnit, Bpm, IsoDate, IsoTime } from '../../core/base/units.ts';
import { type PassRecord, VERDICT_SOURCES } from '../../core/model/pass.ts';
import type { Tally } from '../../core/log/tally.ts';
import { beatUnitSchema } from '../../core/chart/schema.ts';
import { shortText } from './schemas.ts';

/** Whose log: the player's own, or that of a student by id. */
export const desk = identity.default(OWN_DESK);

const narrowed = {
  desk,
  chart: shortText.optional(),
  /** Key of a unit; only together with its chart. */
  unit: shortText.optional(),
  /** First and last day that count, as the player's own calendar had them. */
  since: z.iso.date().optional(),
  until: z.iso.date().optional(),
};

const passesAsked = z.strictObject({
  ...narrowed,
  judge: z.enum(VERDICT_SOURCES).optional(),
  /** Fingerprint of the bars, whatever the unit was called when it was played. */
  bars: shortText.optional(),
  /** So many of the latest only. */
  latest: z.int().min(1).max(1_000_000).optional(),
});

export const passQuery = passesAsked.default({ desk: OWN_DESK });
export type PassQuery = z.output<typeof passQuery>;

export const courseAsked = passesAsked.extend({
  /** Also earlier ones, as far as a tempo of the first day rests on them. */
  leadIn: z.boolean().optional(),
});

export const logFilter = z
  .strictObject({ ...narrowed, judge: z.enum(VERDICT_SOURCES).optional() })
  .default({ desk: OWN_DESK });
export type LogFilter = z.output<typeof logFilter>;

/** The latest days on which a unit was played. */
export const sittingsAsked = z.strictObject({
  ...narrowed,
  chart: shortText,
  unit: shortText,
  judge: z.enum(VERDICT_SOURCES).optional(),
  /** So many of them only. */
  days: z.int().min(1).optional(),
});

/** Where the bars of these units stand, whatever the units were called when they were played. */
export const standingsAsked = z.strictObject({
  desk,
  of: z
    .array(
      z.strictObject({
        chart: shortText,
        bars: shortText,
        beat: beatUnitSchema,
        target: z.number().positive(),
        asOf: z.iso.date(),
        due: z.iso.date().optional(),
      }),
    )
    .max(10_000),
});
export type StandingAsked = z.output<typeof standingsAsked>['of'][number];

const barsOf = { chart: shortText, bars: shortText };

/** What broke in these bars lately. */
export const worstAsked = z.strictObject({
  desk,
  of: z.array(z.strictObject(barsOf)).max(10_000),
  /** So many of the latest passes are looked at. */
  latest: z.int().min(1).max(10_000),
});

export const barsAsked = z.strictObject({ desk, ...barsOf });
export type BarsAsked = z.output<typeof barsAsked>;

/** Of all bars of a chart that were played since. */
export const countsAsked = z.strictObject({
  desk,
  chart: shortText,
  since: narrowed.since,
});
export type CountsAsked = z.output<typeof countsAsked>;

/** How passes of some bars went, whatever the unit was called when they were played. */
export interface BarsCount extends Pick<Tally, 'clean' | 'missed'> {
  /** Their fingerprint. */
  readonly bars: string;
}

/** The fastest clean pass of a day, in quarter notes a minute. */
export interface BestOfDay {
  readonly date: IsoDate;
  readonly quarters: Bpm;
}

/** Counts of passes by verdict and judge, and minutes. */
export type VerdictCounts = Tally;

/** One unit that was played. */
export interface UnitTally extends VerdictCounts {
  /** Names and choices of its latest pass. */
  readonly chart: PassRecord['chart'];
  readonly unit: PassRecord['unit'];
  readonly beat: BeatUnit;
  readonly target: Bpm;
  readonly lastPlayed: IsoTime;
  /** Days on which it was played, and the first of them. */
  readonly days: number;
  readonly since: IsoDate;
  /** Fastest clean pass, in quarter notes a minute. */
  readonly fastestQuarters?: Bpm;
}

/** One day that was practised. */
export interface DayTally extends VerdictCounts {
  readonly date: IsoDate;
  /** Fastest clean pass, in quarter notes a minute. */
  readonly fastestQuarters?: Bpm;
}

const assignments: z.ZodType<readonly Assignment[], readonly Assignment[]> = z
  .array(assignmentSchema as unknown as z.ZodType<Assignment, Assignment>)
  .max(MAX_LIST);

/** Where do these assignments of a student stand on a day? */
export const placesQuery = z.strictObject({
  desk,
  asOf: z.iso.date(),
  assignments,
});
export type PlacesQuery = z.output<typeof placesQuery>;

/** What does the log say of these assignments since the last lesson? */
export const lessonQuery = z.strictObject({
  desk,
  /** The day of the last lesson. */
  since: z.iso.date(),
  assignments,
});
export type LessonQuery = z.output<typeof lessonQuery>;

/** By id of the assignment. */
export type Places = readonly (readonly [assignment: string, place: AssignmentStanding])[];

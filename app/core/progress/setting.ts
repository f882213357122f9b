// Setting a chart to practise in one go: an order to learn it in, with reasons, and dates spread over lesson days.
import type { Problem } from '../base/result.ts';
import { type Bpm, type IsoDate, MAX_BPM, MIN_BPM } from '../base/units.ts';
import type { LadderRules } from '../ladder/model.ts';
import { suggestRules } from '../ladder/suggest.ts';
import { dateOfDay, dayNumber } from '../log/days.ts';
import type { Chart } from '../model/chart.ts';
import type { Unit } from '../model/unit.ts';
import { listUnits } from '../units/resolve.ts';
import { active, type Student } from './assignment.ts';
import { LEARNT, type Learnt, type Template } from './template.ts';

const REASONS: Readonly<Record<Learnt, string>> = {
  hardest: 'Its hardest changes come first, on their own: they take the longest.',
  section: 'The section, once its changes go by themselves.',
  lead: 'The lead line, over chords that are known by then.',
  join: 'From one section into the next, where songs break most.',
  form: 'The whole song, once its parts and joins stand.',
};

export interface SetStep {
  readonly unit: Unit;
  readonly reason: string;
  readonly kind: Learnt;
  /** 1 is the next lesson. */
  readonly week: number;
  readonly percent: number;
}

/** Every unit that a song is learnt by, in order. A lead is learnt by itself first. */
export function stepsOf(chart: Chart, template: Template): readonly SetStep[] {
  return LEARNT.flatMap((kind) =>
    listUnits(chart, kind)
      .filter(({ ref }) => ref.kind !== 'lead' || ref.reach === 'alone')
      .map((unit) => ({
        unit,
        kind,
        reason: REASONS[kind],
        week: template.weeks[kind],
        percent: template.percent[kind],
      })),
  );
}

/** The suggested ladder to a share of the unit's own tempo. @param percent 40–120 */
export function rulesAt(unit: Unit, percent: number): LadderRules {
  const bpm = clamp(Math.round((unit.tempo.bpm * percent) / 100));
  return suggestRules({ ...unit, tempo: { ...unit.tempo, bpm } });
}

const clamp = (bpm: Bpm): Bpm => Math.min(MAX_BPM, Math.max(MIN_BPM, bpm));

/** The next `count` lesson days after today. @param weekday 1 is Monday, 7 is Sunday (ISO 8601) */
export function lessonDays(today: IsoDate, weekday: number, count: number): readonly IsoDate[] {
  const day = dayNumber(today);
  // 1970-01-01, day 0, was a Thursday.
  const todays = ((((day + 3) % 7) + 7) % 7) + 1;
  const wait = (weekday - todays + 7) % 7 || 7;
  return Array.from({ length: count }, (_, i) => dateOfDay(day + wait + 7 * i));
}

/** A date in the past is refused; undefined where nothing speaks against it, or none is asked for. */
export function checkDue(due: IsoDate | undefined, today: IsoDate): Problem | undefined {
  if (due === undefined || due === '' || due >= today) return undefined;
  return {
    code: 'due-past',
    message: `${due} has passed already.`,
    cure: 'Choose today or a later day, or no date.',
  };
}

/** Does the student have this unit of the chart set already? */
export const hasSet = (student: Student, chart: string, unit: string): boolean =>
  active(student.assignments).some((one) => one.chart.id === chart && one.unit.key === unit);

/** The groups that students are in, in the order of their names. */
export const groupsOf = (students: readonly Student[]): readonly string[] =>
  [...new Set(students.flatMap(({ group }) => (group ? [group] : [])))].sort((a, b) =>
    a.localeCompare(b, 'en'),
  );

/** The student in a group; an empty name is none. */
export const inGroup = ({ group: _, ...student }: Student, group: string): Student =>
  group.trim() === '' ? student : { ...student, group: group.trim() };

/** The student with a day of the lesson; 0 is none. @param day 1 is Monday, 7 is Sunday (ISO 8601) */
export const onDay = ({ lessonDay: _, ...student }: Student, day: number): Student =>
  day === 0 ? student : { ...student, lessonDay: day };

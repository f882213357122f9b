// Setting a chart to practise in one go: an order to learn it in, with reasons, and dates spread over lesson days.
import type { Problem } from '../base/result.ts';
import type { IsoDate } from '../base/units.ts';
import type { LadderRules } from '../ladder/model.ts';
import { suggestRules, tempoAt } from '../ladder/suggest.ts';
import { dateOfDay, dayNumber } from '../log/days.ts';
import { shownSymbol } from '../harmony/note-names.ts';
import type { Chart, ChartShape } from '../model/chart.ts';
import type { Unit } from '../model/unit.ts';
import { type HardChange, hardestFirst } from '../units/hands/hardest.ts';
import { neckOf, unitPath } from '../units/hands/hands.ts';
import { listUnits } from '../units/resolve.ts';
import { active, type Student } from './assignment.ts';
import { LEARNT, type Learnt, type Template } from './template.ts';

const REASONS: Readonly<Record<Exclude<Learnt, 'hardest'>, string>> = {
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

/**
 * Every unit that a song is learnt by, in order: the hardest changes of the whole song before all others. A lead
 * is learnt by itself first.
 */
export function stepsOf(chart: Chart, template: Template): readonly SetStep[] {
  const step = (kind: Learnt, unit: Unit, reason: string): SetStep => ({
    ...{ unit, kind, reason },
    week: template.weeks[kind],
    percent: template.percent[kind],
  });
  return LEARNT.flatMap((kind) =>
    kind === 'hardest'
      ? hardestOf(chart).map(({ unit, reason }) => step(kind, unit, reason))
      : listUnits(chart, kind)
          .filter(({ ref }) => ref.kind !== 'lead' || ref.reach === 'alone')
          .map((unit) => step(kind, unit, REASONS[kind])),
  );
}

interface HardSet {
  readonly unit: Unit;
  /** Hardest first. */
  readonly changes: readonly HardChange[];
}

/**
 * The hardest changes of every section, those that leave the hand least time first; what an earlier set has is
 * known by then, so a set that brings nothing new is left out.
 */
function hardestOf(chart: Chart): readonly { readonly unit: Unit; readonly reason: string }[] {
  const show = (symbol: string): string => shownSymbol(symbol, chart.names);
  const known = new Set<string>();
  let sets: readonly HardSet[] = listUnits(chart, 'hardest').map((unit) => ({
    unit,
    changes: changesIn(unit, chart.shapes),
  }));
  const ranked: { unit: Unit; reason: string }[] = [];
  for (;;) {
    sets = sets.flatMap(({ unit, changes }) => {
      const unknown = changes.filter((change) => !known.has(pairOf(change)));
      return unknown.length > 0 ? [{ unit, changes: unknown }] : [];
    });
    const next = sets.reduce<HardSet | undefined>(
      (most, set) => (most && most.changes[0]!.hardness >= set.changes[0]!.hardness ? most : set),
      undefined,
    );
    if (!next) return ranked;
    const { unit, changes } = next;
    for (const change of changes) known.add(pairOf(change));
    const told = `${show(changes[0]!.from)} to ${show(changes[0]!.to)}`;
    const reason =
      ranked.length === 0
        ? `The hardest changes come first, on their own. ${told} leaves the hand least time.`
        : `Next hardest: ${told}.`;
    ranked.push({ unit, reason });
  }
}

/** Every pair is played several times: what comes the first time only leads from one pair into the next. */
const changesIn = (unit: Unit, shapes: readonly ChartShape[]): readonly HardChange[] =>
  hardestFirst(unitPath(unit, shapes), neckOf(unit)).filter(({ bars }) =>
    bars.some((bar) => unit.bars[bar]!.time > 1),
  );

/** The change whichever way round. */
const pairOf = ({ from, to }: HardChange): string => [from, to].toSorted().join('\n');

/** The suggested ladder to a share of the unit's own tempo. @param percent 40–120 */
export function rulesAt(unit: Unit, percent: number): LadderRules {
  const bpm = tempoAt(unit, percent);
  return suggestRules({ ...unit, tempo: { ...unit.tempo, bpm } });
}

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

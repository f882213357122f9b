// Changing or taking back what was set for several students in one go.
import type { IsoDate, IsoTime } from '../base/units.ts';
import { dateOfDay, dayNumber } from '../log/days.ts';
import type { Chart } from '../model/chart.ts';
import { resolveUnit } from '../units/resolve.ts';
import { active, type Assignment, revise, type Student, type Terms } from './assignment.ts';
import { rulesAt } from './setting.ts';

/** Something that one student or several have set: a part of a chart. */
export interface SetThing {
  readonly chart: Assignment['chart'];
  readonly unit: Pick<Assignment['unit'], 'key' | 'name'>;
  /** Ids of the students who have it. */
  readonly who: readonly string[];
}

/** What is to be another; what is absent stays as it is. */
export interface TermsChange {
  readonly due?:
    | { readonly kind: 'on'; readonly date: IsoDate }
    /** Where there is a date. */
    | { readonly kind: 'later'; readonly days: number }
    | { readonly kind: 'none' };
  /** Of the part's finished tempo, 40–120; the chart says it. */
  readonly percent?: number;
  readonly note?: string;
}

/** Everything set by a teacher, by chart and part; what most students have comes first. */
export function thingsSet(students: readonly Student[]): readonly SetThing[] {
  const things = new Map<string, SetThing & { who: string[] }>();
  for (const { id, assignments } of students) {
    for (const { chart, unit } of active(assignments)) {
      const key = thingKey({ chart, unit });
      const { key: unitKey, name } = unit;
      const thing = things.get(key) ?? { chart, unit: { key: unitKey, name }, who: [] };
      if (!thing.who.includes(id)) thing.who.push(id);
      things.set(key, thing);
    }
  }
  return [...things.values()].sort(
    (a, b) =>
      b.who.length - a.who.length ||
      a.chart.title.localeCompare(b.chart.title, 'en') ||
      a.unit.name.localeCompare(b.unit.name, 'en'),
  );
}

/** Equal for the same unit of the same chart. */
export const thingKey = ({ chart, unit }: Pick<SetThing, 'chart' | 'unit'>): string =>
  `${chart.id}\n${unit.key}`;

/** The student's open assignments of these things. */
export const assignmentsOf = (
  { assignments }: Student,
  keys: ReadonlySet<string>,
): readonly Assignment[] => active(assignments).filter((one) => keys.has(thingKey(one)));

/** The student with the things revised; those whose terms stay the same are left as they are. */
export function changeFor(
  student: Student,
  keys: ReadonlySet<string>,
  change: TermsChange,
  { now, charts }: { readonly now: IsoTime; readonly charts: readonly Chart[] },
): Student {
  return withChanged(student, keys, (one) => revise(one, changed(one, change, charts), now));
}

/** The student with the things taken back; they are kept as history. */
export const withdrawFor = (student: Student, keys: ReadonlySet<string>, now: IsoTime): Student =>
  withChanged(student, keys, (one) => ({ ...one, withdrawn: now }));

function withChanged(
  student: Student,
  keys: ReadonlySet<string>,
  change: (assignment: Assignment) => Assignment,
): Student {
  const meant = new Set(assignmentsOf(student, keys));
  return {
    ...student,
    assignments: student.assignments.map((one) => (meant.has(one) ? change(one) : one)),
  };
}

function changed(assignment: Assignment, change: TermsChange, charts: readonly Chart[]): Terms {
  const { due: before, ...terms } = assignment.terms;
  const due = dueAfter(before, change.due);
  return {
    ...terms,
    ...(due === undefined ? {} : { due }),
    ...(change.note === undefined ? {} : { note: change.note }),
    ...(change.percent === undefined ? {} : faster(assignment, change.percent, charts)),
  };
}

function dueAfter(before: IsoDate | undefined, change: TermsChange['due']): IsoDate | undefined {
  switch (change?.kind) {
    case undefined:
      return before;
    case 'on':
      return change.date;
    case 'later':
      return before && dateOfDay(dayNumber(before) + change.days);
    case 'none':
      return undefined;
  }
}

/** The same ladder to another target; where the chart is not here, the tempo stays. */
function faster(
  { chart: { id }, unit: { ref }, terms: { rules } }: Assignment,
  percent: number,
  charts: readonly Chart[],
): Pick<Terms, 'rules'> {
  const chart = charts.find((one) => one.id === id);
  const unit = chart && resolveUnit(chart, ref);
  if (!unit?.ok) return { rules };
  const { start, target, beat, step } = rulesAt(unit.value, percent);
  return {
    rules:
      rules.route === 'at-target'
        ? { ...rules, beat, target, start: target }
        : { ...rules, beat, target, start, step },
  };
}

// What a teacher would offer to set next: the songs a student is at first, and of a song what comes next in its order.
import type { Chart } from '../model/chart.ts';
import type { Unit } from '../model/unit.ts';
import { listUnits } from '../units/resolve.ts';
import { active, type Student } from './assignment.ts';
import { hasSet, type SetStep, stepsOf } from './setting.ts';
import { TEMPLATES } from './template.ts';

export interface ChartOffers<C> {
  /** Something of them is set; what was set last comes first. */
  readonly at: readonly C[];
  /** In the order given. */
  readonly others: readonly C[];
}

/** Charts as they are offered when something is set. */
export function chartOffers<C extends Pick<Chart, 'id'>>(
  student: Student,
  charts: readonly C[],
): ChartOffers<C> {
  const given = active(student.assignments)
    .toSorted((a, b) => Date.parse(b.given) - Date.parse(a.given))
    .map(({ chart }) => chart.id);
  const rank = new Map([...new Set(given)].map((id, i) => [id, i]));
  return {
    at: charts
      .filter(({ id }) => rank.has(id))
      .toSorted((a, b) => rank.get(a.id)! - rank.get(b.id)!),
    others: charts.filter(({ id }) => !rank.has(id)),
  };
}

export interface UnitOffers {
  /** In the order in which the song is learnt, from the last thing set on; what was passed over stands last. */
  readonly next: readonly SetStep[];
  /** All else of the chart, what is set already among it. */
  readonly rest: readonly Unit[];
}

/** Units of one chart as they are offered, in the order of the usual template. */
export function unitOffers(student: Student, chart: Chart): UnitOffers {
  const steps = stepsOf(chart, TEMPLATES[0]);
  const isSet = ({ unit }: SetStep): boolean => hasSet(student, chart.id, unit.key);
  const from = steps.findLastIndex(isSet) + 1;
  const next = [...steps.slice(from), ...steps.slice(0, from)].filter((step) => !isSet(step));
  const offered = new Set(next.map(({ unit }) => unit.key));
  return { next, rest: listUnits(chart).filter(({ key }) => !offered.has(key)) };
}

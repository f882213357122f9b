// What could be practised today: everything set, and what was played lately, with where each stands.
import type { Chart } from '../../app/core/chart/model.ts';
import { parseUnitKey, resolveUnit } from '../../app/core/chart/units.ts';
import type { Unit } from '../../app/core/chart/unit-model.ts';
import { handsFor } from '../../app/core/fretboard/tightest.ts';
import { active, type Student } from '../../app/core/progress/assignment.ts';
import { dateOfDay, dayNumber, localDate } from '../../app/core/progress/calendar.ts';
import type { Candidate } from '../../app/core/progress/today.ts';
import type { Bpm, IsoDate } from '../../app/core/units.ts';
import type { UnitRecords } from './unit-records.ts';

export interface Candidates {
  readonly found: readonly Candidate[];
  /** Assignments whose unit is no longer in its chart, or whose chart is gone. */
  readonly lost: readonly { readonly name: string; readonly why: string }[];
}

/** A unit without an assignment is offered this many days after it was last played (our choice). */
const REMEMBERED_DAYS = 60;

export function candidatesOf(
  own: Student,
  charts: readonly Chart[],
  records: UnitRecords,
  asOf: IsoDate,
): Candidates {
  const byId = new Map(charts.map((chart) => [chart.id, chart]));
  const lost: { name: string; why: string }[] = [];
  const found = active(own.assignments).flatMap((assignment): Candidate[] => {
    const { chart, unit, terms } = assignment;
    const here = unitOf(byId.get(chart.id), unit.key);
    if (!here.unit) {
      lost.push({ name: `${chart.title}: ${unit.name}`, why: here.why });
      return [];
    }
    const { target, beat } = terms.rules;
    const due = terms.due === undefined ? {} : { due: terms.due };
    const standing = records.standing(chart.id, unit.key, { beat, target, asOf, ...due });
    return [{ chart, unit: { key: unit.key, name: here.unit.name }, standing, assignment }];
  });
  const taken = new Set(found.map(candidateId));
  const more = playedLately(byId, records, asOf).filter((one) => !taken.has(candidateId(one)));
  return { found: [...found, ...more], lost };
}

export const candidateId = ({ chart, unit }: Pick<Candidate, 'chart' | 'unit'>): string =>
  `${chart.id}\n${unit.key}`;

function unitOf(chart: Chart | undefined, key: string): { unit?: Unit; why: string } {
  if (!chart) return { why: 'Its chart is not in your library.' };
  const ref = parseUnitKey(key);
  const unit = ref.ok ? resolveUnit(chart, ref.value) : ref;
  return unit.ok ? { unit: unit.value, why: '' } : { why: `${unit.problems[0]!.message}.` };
}

function playedLately(
  charts: ReadonlyMap<string, Chart>,
  records: UnitRecords,
  asOf: IsoDate,
): Candidate[] {
  const since = dateOfDay(dayNumber(asOf) - REMEMBERED_DAYS);
  return [...records.units.values()].flatMap((passes): Candidate[] => {
    const last = passes.at(-1)!;
    const { unit } = unitOf(charts.get(last.chart.id), last.unit.key);
    if (!unit || localDate(last.at) < since) return [];
    const { beat, target } = last.rung;
    return [
      {
        chart: last.chart,
        unit: { key: last.unit.key, name: unit.name },
        standing: records.standing(last.chart.id, last.unit.key, { beat, target, asOf }),
      },
    ];
  });
}

/** The unit's tightest change at a tempo; undefined where it has no two shapes in a row. */
export function tightestOf(
  chart: Chart | undefined,
  key: string,
  bpm: Bpm,
): Candidate['tightest'] | undefined {
  const { unit } = unitOf(chart, key);
  const first = unit && handsFor(unit, bpm, chart?.shapes).tightest[0];
  return first && { from: first.from, to: first.to, tightness: first.tightness };
}

// What could be practised today: everything set, and what was played lately, with where each stands.
import { shownSymbol } from '../../../app/core/harmony/note-names.ts';
import { type Barres, shapesHeld } from '../../../app/core/units/hands/fewest-barres.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import { findUnitAgain } from '../../../app/core/units/find.ts';
import { parseUnitKey } from '../../../app/core/units/keys.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { handsFor } from '../../../app/core/units/hands/hardest.ts';
import { active, type Assignment, type Student } from '../../../app/core/progress/assignment.ts';
import { dateOfDay, dayNumber, localDate } from '../../../app/core/log/days.ts';
import { acceptedBars } from '../../../app/core/progress/as-set.ts';
import { breakingChanges } from '../../../app/core/progress/changes.ts';
import type { UnitStanding } from '../../../app/core/progress/standing.ts';
import type { Candidate } from '../../../app/core/progress/today.ts';
import type { Bpm, IsoDate } from '../../../app/core/base/units.ts';
import type { UnitRecords } from '../log/unit-records.ts';

export interface Candidates {
  /** Each unit once. */
  readonly found: readonly Candidate[];
  /** Where each assignment stands, by its id: a unit may have been set twice. */
  readonly standings: ReadonlyMap<string, UnitStanding>;
  /** By assignment: passes on other bars than were set, which do not count for the target. */
  readonly others: ReadonlyMap<string, OtherHere>;
  /** Assignments whose unit is no longer in its chart, or whose chart is gone. */
  readonly lost: readonly { readonly name: string; readonly why: string }[];
}

export interface OtherHere {
  readonly passes: number;
  /** The bars of those passes, last played first. */
  readonly played: readonly string[];
  /** The chart in this library has other bars than were set. */
  readonly differs: boolean;
}

/** A unit without an assignment is offered this many days after it was last played (our choice). */
const REMEMBERED_DAYS = 60;

/** So many of the latest passes say which change breaks (our choice). */
const LATELY = 60;

/** Ids of the charts that candidates come from. */
export const chartsInPlay = (
  own: Student,
  records: UnitRecords,
  asOf: IsoDate,
): ReadonlySet<string> =>
  new Set([
    ...active(own.assignments).map(({ chart }) => chart.id),
    ...lastPasses(records, asOf).map(({ chart }) => chart.id),
  ]);

export function candidatesOf(
  own: Student,
  charts: readonly Chart[],
  records: UnitRecords,
  asOf: IsoDate,
): Candidates {
  const byId = new Map(charts.map((chart) => [chart.id, chart]));
  const lost: { name: string; why: string }[] = [];
  const others = new Map<string, OtherHere>();
  const set = active(own.assignments).flatMap(
    (assignment): (Candidate & { readonly assignment: Assignment })[] => {
      const { chart, unit, terms } = assignment;
      const here = unitNow(byId.get(chart.id), unit.key, records);
      if (!here.unit) {
        lost.push({ name: `${chart.title}: ${unit.name}`, why: here.why });
        return [];
      }
      const { target, beat } = terms.rules;
      const due = terms.due === undefined ? {} : { due: terms.due };
      const question = { beat, target, asOf, ...due };
      const other = otherHere(assignment, here.unit, records);
      if (other) others.set(assignment.id, other);
      const found = candidateOf(chart, unit.key, here.unit, records, question);
      return [{ ...found, ...asSet(assignment, records, question), assignment }];
    },
  );
  const standings = new Map(set.map(({ assignment, standing }) => [assignment.id, standing]));
  const found = onceEach([...set.toSorted(byDue), ...playedLately(byId, records, asOf)]);
  return { found, standings, lost, others };
}

/** What somebody else set stands where its own bars stand; one's own follows the chart. */
const asSet = (
  assignment: Assignment,
  records: UnitRecords,
  question: Parameters<UnitRecords['standing']>[2],
): Partial<Pick<Candidate, 'standing'>> =>
  isSetByAnother(assignment) ? { standing: records.standingAsSet(assignment, question) } : {};

const isSetByAnother = ({ by, bars }: Assignment): boolean => by !== '' && bars !== undefined;

function otherHere(
  assignment: Assignment,
  unit: Unit,
  records: UnitRecords,
): OtherHere | undefined {
  if (!isSetByAnother(assignment)) return undefined;
  const { other } = records.asSet(assignment);
  const passes = other.reduce((sum, bars) => sum + bars.passes, 0);
  const differs =
    unit.fingerprint !== assignment.bars!.fingerprint &&
    !acceptedBars(assignment).has(unit.fingerprint);
  const played = other.map(({ fingerprint }) => fingerprint);
  return passes > 0 || differs ? { passes, played, differs } : undefined;
}

/** A unit set twice is planned by the assignment that is due first. */
const byDue = (a: Candidate, b: Candidate): number => dueOf(a).localeCompare(dueOf(b));
const dueOf = ({ assignment }: Candidate): string => assignment?.terms.due ?? 'never';

function onceEach(candidates: readonly Candidate[]): Candidate[] {
  const first = new Map<string, Candidate>();
  for (const one of candidates) {
    if (!first.has(candidateId(one))) first.set(candidateId(one), one);
  }
  return [...first.values()];
}

export const candidateId = ({ chart, unit }: Pick<Candidate, 'chart' | 'unit'>): string =>
  `${chart.id}\n${unit.key}`;

/** @param key under which it was set or played; its bars may stand under another one now. */
function candidateOf(
  chart: Candidate['chart'],
  key: string,
  unit: Unit,
  records: UnitRecords,
  question: Parameters<UnitRecords['standing']>[2],
): Candidate {
  const standing = records.standingOfBars(chart.id, unit.fingerprint, question);
  const [worst] = breakingChanges(records.passesOfBars(chart.id, unit.fingerprint).slice(-LATELY));
  const shown = (symbol: string): string => shownSymbol(symbol, unit.names);
  const changed =
    standing.lastPractised === undefined && records.passesOf(chart.id, key).length > 0;
  return {
    chart,
    unit: { key: unit.key, name: unit.name },
    standing,
    ...(worst && worst.broke > 0
      ? { breaks: { from: shown(worst.from), to: shown(worst.to), times: worst.broke } }
      : {}),
    ...(changed ? { changed: true } : {}),
  };
}

/** The unit of the chart as it is now, also where its bars were renamed or moved since they were played. */
function unitNow(
  chart: Chart | undefined,
  key: string,
  records: UnitRecords,
): { unit?: Unit; why: string } {
  if (!chart) return { why: 'Its chart is not in your library.' };
  const last = records.passesOf(chart.id, key).at(-1);
  if (last) {
    const again = findUnitAgain(chart, key, last.unit.fingerprint);
    return again.kind === 'gone' ? { why: again.words } : { unit: again.unit, why: '' };
  }
  const ref = parseUnitKey(key);
  const unit = ref.ok ? resolveUnit(chart, ref.value) : ref;
  return unit.ok ? { unit: unit.value, why: '' } : { why: `${unit.problems[0]!.message}.` };
}

function playedLately(
  charts: ReadonlyMap<string, Chart>,
  records: UnitRecords,
  asOf: IsoDate,
): Candidate[] {
  return lastPasses(records, asOf).flatMap((last): Candidate[] => {
    const { unit } = unitNow(charts.get(last.chart.id), last.unit.key, records);
    const { beat, target } = last.rung;
    return unit
      ? [candidateOf(last.chart, last.unit.key, unit, records, { beat, target, asOf })]
      : [];
  });
}

/** The latest pass of each unit that was played lately. */
function lastPasses(records: UnitRecords, asOf: IsoDate): PassRecord[] {
  const since = dateOfDay(dayNumber(asOf) - REMEMBERED_DAYS);
  return [...records.units.values()]
    .map((passes) => passes.at(-1)!)
    .filter(({ at }) => localDate(at) >= since);
}

/** The unit's hardest change at a tempo, for the shapes as this player holds them; undefined without two in a row. */
export function hardestOf(
  chart: Chart | undefined,
  key: string,
  bpm: Bpm,
  barres: Barres,
): Candidate['hardest'] | undefined {
  const ref = parseUnitKey(key);
  if (!chart || !ref.ok) return undefined;
  const unit = resolveUnit(chart, ref.value);
  const first = unit.ok
    ? handsFor(unit.value, bpm, shapesHeld(chart, barres)).hardest[0]
    : undefined;
  const shown = (symbol: string): string => shownSymbol(symbol, chart.names);
  return first && { from: shown(first.from), to: shown(first.to), hardness: first.hardness };
}

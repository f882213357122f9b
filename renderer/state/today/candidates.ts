// What could be practised today: everything set, and what was played lately, with where each stands.
import { shownSymbol } from '../../../app/core/harmony/note-names.ts';
import { type Barres, shapesHeld } from '../../../app/core/units/hands/fewest-barres.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import { findUnitAgain } from '../../../app/core/units/find.ts';
import { parseUnitKey } from '../../../app/core/units/keys.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { handsFor } from '../../../app/core/units/hands/hardest.ts';
import {
  active,
  type Assignment,
  OWN_DESK,
  type Student,
} from '../../../app/core/progress/assignment.ts';
import { dateOfDay, dayNumber, localDate } from '../../../app/core/log/days.ts';
import { acceptedBars } from '../../../app/core/progress/as-set.ts';
import type { ChangeTally } from '../../../app/core/progress/changes.ts';
import { unitId } from '../../../app/core/log/per-unit.ts';
import type { AssignmentStanding } from '../../../app/core/progress/placing.ts';
import type { StandingQuestion, UnitStanding } from '../../../app/core/progress/standing.ts';
import type { Candidate } from '../../../app/core/progress/today.ts';
import type { Bpm, IsoDate } from '../../../app/core/base/units.ts';
import type { UnitTally } from '../../../app/services/contract/contract.ts';
import { NO_ENTRIES } from '../../page/maps.ts';
import type { AskLog } from '../log/practice-log.svelte.ts';

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

/** Ids of the charts that candidates come from. @param units that were ever played */
export const chartsInPlay = (
  own: Student,
  units: readonly UnitTally[],
  asOf: IsoDate,
): ReadonlySet<string> =>
  new Set([
    ...active(own.assignments).map(({ chart }) => chart.id),
    ...playedLately(units, asOf).map(({ chart }) => chart.id),
  ]);

/** What candidates are found in. */
export interface CandidateSources {
  readonly charts: readonly Chart[];
  /** Every unit that was ever played, latest first. */
  readonly units: readonly UnitTally[];
  readonly ask: AskLog;
  readonly asOf: IsoDate;
}

/** A unit that could be practised, as it is in its chart now. */
interface Sought {
  readonly chart: Candidate['chart'];
  /** Under which it was set or played; its bars may stand under another one now. */
  readonly key: string;
  readonly unit: Unit;
  readonly question: Omit<StandingQuestion, 'passes'>;
  readonly assignment?: Assignment;
}

/** What the day's plan may choose from: what is set, and what was played lately. */
export async function candidatesOf(own: Student, sources: CandidateSources): Promise<Candidates> {
  const { units, ask } = sources;
  const played = new Map(units.map((unit) => [unitId(unit), unit]));
  const { sought, lost } = seek(own, sources, played);
  if (sought.length === 0) return { found: [], standings: NO_ENTRIES, others: NO_ENTRIES, lost };
  const of = sought.map(({ chart, unit }) => ({ chart: chart.id, bars: unit.fingerprint }));
  const [standings, worst, places] = await Promise.all([
    ask('log.standings', { of: of.map((bars, i) => ({ ...bars, ...sought[i]!.question })) }),
    ask('log.worst', { of, latest: LATELY }),
    placesOf(sought, sources),
  ]);
  const all = sought.map((one, i) =>
    candidateOf(one, {
      standing: standings[i]!,
      worst: worst[i]!,
      place: one.assignment && places.get(one.assignment.id),
      everPlayed: played.has(unitId({ chart: one.chart, unit: { key: one.key } })),
    }),
  );
  const set = all.flatMap((one) => (one.assignment ? [[one.assignment.id, one] as const] : []));
  return {
    found: onceEach(all.toSorted(byDue)),
    standings: new Map(set.map(([id, { standing }]) => [id, standing])),
    others: othersOf(sought, places),
    lost,
  };
}

/** What is set, then what was played lately without being set. */
function seek(
  own: Student,
  { charts, units, asOf }: CandidateSources,
  played: ReadonlyMap<string, UnitTally>,
): Pick<Candidates, 'lost'> & { readonly sought: readonly Sought[] } {
  const byId = new Map(charts.map((chart) => [chart.id, chart]));
  const lost: { name: string; why: string }[] = [];
  const set = active(own.assignments).flatMap((assignment): Sought[] => {
    const { chart, unit, terms } = assignment;
    const { key } = unit;
    const here = unitNow(byId.get(chart.id), key, played.get(unitId(assignment)));
    if (!here.unit) {
      lost.push({ name: `${chart.title}: ${unit.name}`, why: here.why });
      return [];
    }
    const { target, beat } = terms.rules;
    const due = terms.due === undefined ? {} : { due: terms.due };
    return [{ chart, key, unit: here.unit, question: { beat, target, asOf, ...due }, assignment }];
  });
  const known = new Set(set.map(unitId));
  const lately = playedLately(units, asOf).flatMap((last): Sought[] => {
    const { chart, beat, target } = last;
    const { key } = last.unit;
    const { unit } = unitNow(byId.get(chart.id), key, last);
    return unit && !known.has(unitId({ chart, unit }))
      ? [{ chart, key, unit, question: { beat, target, asOf } }]
      : [];
  });
  return { sought: [...set, ...lately], lost };
}

/** Where what somebody else set stands: where its own bars stand. What one set oneself follows the chart. */
async function placesOf(
  sought: readonly Sought[],
  { ask, asOf }: CandidateSources,
): Promise<ReadonlyMap<string, AssignmentStanding>> {
  const assignments = sought.flatMap(({ assignment }) =>
    assignment && isSetByAnother(assignment) ? [assignment] : [],
  );
  if (assignments.length === 0) return new Map();
  return new Map(await ask('log.places', { desk: OWN_DESK, asOf, assignments }));
}

const isSetByAnother = ({ by, bars }: Assignment): boolean => by !== '' && bars !== undefined;

function othersOf(
  sought: readonly Sought[],
  places: ReadonlyMap<string, AssignmentStanding>,
): ReadonlyMap<string, OtherHere> {
  const others = new Map<string, OtherHere>();
  for (const { assignment, unit } of sought) {
    const place = assignment && places.get(assignment.id);
    const other = place && otherHere(assignment, unit, place);
    if (other) others.set(assignment.id, other);
  }
  return others;
}

function otherHere(
  assignment: Assignment,
  unit: Unit,
  { other }: AssignmentStanding,
): OtherHere | undefined {
  const passes = other.reduce((sum, bars) => sum + bars.passes, 0);
  const differs =
    unit.fingerprint !== assignment.bars!.fingerprint &&
    !acceptedBars(assignment).has(unit.fingerprint);
  const played = other.map(({ fingerprint }) => fingerprint);
  return passes > 0 || differs ? { passes, played, differs } : undefined;
}

/** A unit set twice is planned by the assignment that is due first; what is set stands before what is not. */
const byDue = (a: Candidate, b: Candidate): number => dueOf(a).localeCompare(dueOf(b));
const dueOf = ({ assignment }: Candidate): string =>
  assignment ? (assignment.terms.due ?? 'never') : 'not set';

function onceEach(candidates: readonly Candidate[]): Candidate[] {
  const first = new Map<string, Candidate>();
  for (const one of candidates) {
    if (!first.has(unitId(one))) first.set(unitId(one), one);
  }
  return [...first.values()];
}

/** What the log answers of one. */
interface Told {
  readonly standing: UnitStanding;
  readonly worst: ChangeTally | null;
  readonly place: AssignmentStanding | undefined;
  /** Under its key, on whatever bars. */
  readonly everPlayed: boolean;
}

function candidateOf({ chart, unit, assignment }: Sought, told: Told): Candidate {
  const { standing, worst, place, everPlayed } = told;
  const shown = (symbol: string): string => shownSymbol(symbol, unit.names);
  const other = assignment && place && otherHere(assignment, unit, place);
  // Where the bars are others than were set, that says more.
  const changed = !other && standing.lastPractised === undefined && everPlayed;
  return {
    chart,
    unit: { key: unit.key, name: unit.name },
    standing: place?.standing ?? standing,
    ...(worst
      ? { breaks: { from: shown(worst.from), to: shown(worst.to), times: worst.broke } }
      : {}),
    ...(changed ? { changed: true } : {}),
    ...(other ? { otherBars: { differs: other.differs, passes: other.passes } } : {}),
    ...(assignment ? { assignment } : {}),
  };
}

/** The unit of the chart as it is now, also where its bars were renamed or moved since they were played. */
function unitNow(
  chart: Chart | undefined,
  key: string,
  last: UnitTally | undefined,
): { unit?: Unit; why: string } {
  if (!chart) return { why: 'Its chart is not in your library.' };
  if (last) {
    const again = findUnitAgain(chart, key, last.unit.fingerprint);
    return again.kind === 'gone' ? { why: again.words } : { unit: again.unit, why: '' };
  }
  const ref = parseUnitKey(key);
  const unit = ref.ok ? resolveUnit(chart, ref.value) : ref;
  return unit.ok ? { unit: unit.value, why: '' } : { why: `${unit.problems[0]!.message}.` };
}

/** The units that were played lately. */
function playedLately(units: readonly UnitTally[], asOf: IsoDate): readonly UnitTally[] {
  const since = dateOfDay(dayNumber(asOf) - REMEMBERED_DAYS);
  return units.filter(({ lastPlayed }) => localDate(lastPlayed) >= since);
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

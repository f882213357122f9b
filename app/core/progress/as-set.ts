// Whether what was practised is what was set: passes on other bars stand apart until the teacher accepts them.
import { instantOf, inTimeOrder } from '../log/history.ts';
import type { IsoDate, IsoTime } from '../base/units.ts';
import { localDate } from '../log/days.ts';
import type { Chart } from '../model/chart.ts';
import type { PassRecord } from '../model/pass.ts';
import { resolveUnit } from '../units/resolve.ts';
import type { Assignment, BarsSet, WordOnBars } from './assignment.ts';

/** Passes of an assignment's unit on one version of its bars that is not the one set. */
export interface OtherBars {
  readonly fingerprint: string;
  /** How many; at least one. */
  readonly passes: number;
  /** The day of the latest. */
  readonly last: IsoDate;
}

export interface AsSet {
  /** On the bars that were set, or on bars that the teacher accepts; in time order. */
  readonly counted: readonly PassRecord[];
  /** Those last played first. */
  readonly other: readonly OtherBars[];
  /** Bars that count only because the teacher accepted them. */
  readonly accepted: readonly OtherBars[];
}

/**
 * Parts the passes of an assignment's unit by the bars they were played on. Equal bars count under whatever
 * name they were played; where nothing says which bars were set, all count.
 * @param passes of one player, settled, in time order; other charts and units are left out.
 */
export function partBySet(assignment: Assignment, passes: readonly PassRecord[]): AsSet {
  const { chart, unit, bars } = assignment;
  const ofChart = passes.filter((pass) => pass.chart.id === chart.id);
  if (bars === undefined) {
    const counted = ofChart.filter((pass) => pass.unit.key === unit.key);
    return { counted, other: [], accepted: [] };
  }
  const accepted = acceptedBars(assignment);
  const counts = (print: string): boolean => print === bars.fingerprint || accepted.has(print);
  const about = ofChart.filter(
    (pass) => pass.unit.key === unit.key || counts(pass.unit.fingerprint),
  );
  const groups = [...Map.groupBy(about, (pass) => pass.unit.fingerprint)].map(
    ([fingerprint, those]): OtherBars => ({
      fingerprint,
      passes: those.length,
      last: localDate(those.at(-1)!.at),
    }),
  );
  return {
    counted: inTimeOrder(about.filter((pass) => counts(pass.unit.fingerprint))),
    ...partOthers(assignment, groups),
  };
}

/** Bars that were played, other than those set, by whether they count; those last played first. */
export function partOthers(
  assignment: Assignment,
  played: readonly OtherBars[],
): Pick<AsSet, 'other' | 'accepted'> {
  const accepted = acceptedBars(assignment);
  const others = played
    .filter(({ fingerprint }) => fingerprint !== assignment.bars?.fingerprint)
    .toSorted((a, b) => (a.last < b.last ? 1 : a.last > b.last ? -1 : 0));
  return {
    other: others.filter(({ fingerprint }) => !accepted.has(fingerprint)),
    accepted: others.filter(({ fingerprint }) => accepted.has(fingerprint)),
  };
}

/** Fingerprints of other bars that the teacher lets count. */
export const acceptedBars = ({ otherBars = [] }: Assignment): ReadonlySet<string> =>
  new Set(otherBars.filter(({ counts }) => counts).map(({ fingerprint }) => fingerprint));

/** The teacher's word on other bars. It is never older than the one it follows, whatever the clock says. */
export function sayOnBars(
  assignment: Assignment,
  fingerprint: string,
  counts: boolean,
  now: IsoTime,
): Assignment {
  const before = assignment.otherBars?.find((word) => word.fingerprint === fingerprint);
  const late = before !== undefined && instantOf(before.at) >= instantOf(now);
  const at = late ? new Date(instantOf(before.at) + 1).toISOString() : now;
  return {
    ...assignment,
    otherBars: mergeWords(assignment.otherBars, [{ fingerprint, at, counts }]),
  };
}

/** The latest word on each version of the bars, in an order of their own, so that merging twice changes nothing. */
export function mergeWords(
  mine: readonly WordOnBars[] = [],
  theirs: readonly WordOnBars[] = [],
): readonly WordOnBars[] {
  const latest = new Map<string, WordOnBars>();
  for (const word of [...mine, ...theirs]) {
    const known = latest.get(word.fingerprint);
    if (!known || isLater(word, known)) latest.set(word.fingerprint, word);
  }
  return [...latest.values()].sort((a, b) => (a.fingerprint < b.fingerprint ? -1 : 1));
}

/** Of two words of one moment the one that does not count stands: a doubt is never overruled by chance. */
const isLater = (word: WordOnBars, known: WordOnBars): boolean => {
  const later = instantOf(word.at) - instantOf(known.at);
  return later > 0 || (later === 0 && known.counts && !word.counts);
};

/**
 * The assignments with the bars their units have in these charts: what is handed out is what is set.
 * @param now when it is handed out
 */
export function withBarsOf(
  assignments: readonly Assignment[],
  charts: readonly Chart[],
  now: IsoTime,
): readonly Assignment[] {
  const byId = new Map(charts.map((chart) => [chart.id, chart]));
  return assignments.map((assignment) => {
    const chart = byId.get(assignment.chart.id);
    const unit = chart && resolveUnit(chart, assignment.unit.ref);
    if (!unit?.ok || unit.value.fingerprint === assignment.bars?.fingerprint) return assignment;
    return { ...assignment, bars: laterBars(assignment.bars, unit.value.fingerprint, now) };
  });
}

/** Never older than the bars they follow, whatever the clock says. */
function laterBars(before: BarsSet | undefined, fingerprint: string, now: IsoTime): BarsSet {
  const late = before !== undefined && instantOf(before.since) >= instantOf(now);
  return { fingerprint, since: late ? new Date(instantOf(before.since) + 1).toISOString() : now };
}

/** Of two versions of the same assignment, the bars that were set last. */
export function barsSetLast(
  mine: BarsSet | undefined,
  theirs: BarsSet | undefined,
): BarsSet | undefined {
  if (!mine || !theirs) return mine ?? theirs;
  const later = instantOf(theirs.since) - instantOf(mine.since);
  return later > 0 || (later === 0 && theirs.fingerprint > mine.fingerprint) ? theirs : mine;
}

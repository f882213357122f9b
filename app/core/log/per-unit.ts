// What the log says about each unit, in the order it matters: share clean, then tempo, then minutes, and who judged.
import type { BeatUnit, Bpm, IsoDate, IsoTime } from '../base/units.ts';
import { localDate } from './days.ts';
import { inBeat } from '../rhythm/pulse.ts';
import type { LevelPass, PassRecord } from '../model/pass.ts';
import { tally, type Tally } from './tally.ts';

/** One sitting with one unit, as a course of passes. */
export interface SessionCourse extends Tally {
  readonly session: string;
  readonly date: IsoDate;
  readonly from: IsoTime;
  readonly to: IsoTime;
  /** Tempo and verdict of each pass in order, in the summary's beat unit. */
  readonly course: readonly { readonly bpm: Bpm; readonly verdict: PassRecord['verdict'] }[];
  readonly bestClean?: Bpm;
  /** The first, cold pass of its day, where this sitting holds it. */
  readonly cold?: { readonly bpm: Bpm; readonly verdict: PassRecord['verdict'] };
}

export interface UnitSummary extends Tally {
  readonly chart: PassRecord['chart'];
  readonly unit: PassRecord['unit'];
  /** Every tempo here counts this note value: the one of the latest pass. */
  readonly beat: BeatUnit;
  /** Of the latest pass. */
  readonly target: Bpm;
  readonly lastPlayed: IsoTime;
  /** Fastest pass judged clean, ever. One clean pass is not yet an owned tempo. */
  readonly bestClean?: Bpm;
  readonly sessions: readonly SessionCourse[];
  /** In time order. */
  readonly passes: readonly PassRecord[];
}

/** What identifies a unit across charts. */
export const unitId = ({
  chart,
  unit,
}: {
  readonly chart: { readonly id: string };
  readonly unit: { readonly key: string };
}): string => `${chart.id}\n${unit.key}`;

/** Passes by {@link unitId}, each group in the order given. */
export const groupByUnit = (passes: readonly PassRecord[]): Map<string, PassRecord[]> =>
  groupRuns(passes, unitId, (a, b) => a.unit.key === b.unit.key && a.chart.id === b.chart.id);

/** Groups by key; neighbours that are alike need no key, which makes a long log several times quicker. */
function groupRuns(
  passes: readonly PassRecord[],
  key: (pass: PassRecord) => string,
  alike: (a: PassRecord, b: PassRecord) => boolean,
): Map<string, PassRecord[]> {
  const groups = new Map<string, PassRecord[]>();
  let before: PassRecord | undefined;
  let group: PassRecord[] = [];
  for (const pass of passes) {
    if (!before || !alike(before, pass)) {
      const id = key(pass);
      group = groups.get(id) ?? [];
      groups.set(id, group);
    }
    group.push(pass);
    before = pass;
  }
  return groups;
}

/** One summary per unit ever played, latest played first. @param passes settled, in time order. */
export function summarise(passes: readonly PassRecord[]): UnitSummary[] {
  return [...groupByUnit(passes).values()]
    .map(summariseUnit)
    .sort((a, b) => Date.parse(b.lastPlayed) - Date.parse(a.lastPlayed));
}

/** @param passes of one unit, at least one, in time order. */
export function summariseUnit(passes: readonly PassRecord[]): UnitSummary {
  const last = passes.at(-1);
  if (!last) throw new RangeError('summariseUnit: a unit without passes has no summary');
  const beat = last.rung.beat;
  const sessions = groupRuns(
    passes,
    (pass) => `${pass.session}\n${localDate(pass.at)}`,
    (a, b) => a.session === b.session && localDate(a.at) === localDate(b.at),
  );
  return {
    ...tally(passes),
    chart: last.chart,
    unit: last.unit,
    beat,
    target: last.rung.target,
    lastPlayed: last.at,
    ...fastestClean(passes, beat),
    sessions: [...sessions.values()].map((those) => sessionCourse(those, beat)),
    passes,
  };
}

function sessionCourse(passes: readonly PassRecord[], beat: BeatUnit): SessionCourse {
  const first = passes[0]!;
  const course = passes.map((pass) => ({ bpm: tempoIn(pass, beat), verdict: pass.verdict }));
  const cold = passes.findIndex((pass) => pass.cold);
  return {
    ...tally(passes),
    session: first.session,
    date: localDate(first.at),
    from: first.at,
    to: passes.at(-1)!.at,
    course,
    ...fastestClean(passes, beat),
    ...(cold >= 0 ? { cold: course[cold]! } : {}),
  };
}

/** The pass's tempo, counted in another note value. */
export const tempoIn = (pass: Pick<LevelPass, 'rung'>, beat: BeatUnit): Bpm =>
  inBeat(pass.rung.bpm, pass.rung.beat, beat);

function fastestClean(passes: readonly PassRecord[], beat: BeatUnit): { bestClean?: Bpm } {
  let best = 0;
  for (const pass of passes) {
    if (pass.verdict === 'clean') best = Math.max(best, tempoIn(pass, beat));
  }
  return best > 0 ? { bestClean: best } : {};
}

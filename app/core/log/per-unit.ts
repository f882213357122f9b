// What the log says about each unit: share clean, minutes, who judged, and when it was played last.
import type { BeatUnit, Bpm, IsoTime } from '../base/units.ts';
import { inBeat } from '../rhythm/pulse.ts';
import type { LevelPass, PassRecord } from '../model/pass.ts';
import { groupRuns } from './group-runs.ts';
import { tally, type Tally } from './tally.ts';

export interface UnitSummary extends Tally {
  readonly chart: PassRecord['chart'];
  readonly unit: PassRecord['unit'];
  /** The note value of the latest pass; the target counts it. */
  readonly beat: BeatUnit;
  /** Of the latest pass. */
  readonly target: Bpm;
  readonly lastPlayed: IsoTime;
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

/** One summary per unit ever played, latest played first. @param passes settled, in time order. */
export function summarise(passes: readonly PassRecord[]): UnitSummary[] {
  return [...groupByUnit(passes).values()]
    .map(summariseUnit)
    .sort((a, b) => Date.parse(b.lastPlayed) - Date.parse(a.lastPlayed));
}

/** @param passes of one unit, at least one, in time order. */
function summariseUnit(passes: readonly PassRecord[]): UnitSummary {
  const { chart, unit, rung, at } = passes.at(-1)!;
  const { beat, target } = rung;
  return { ...tally(passes), chart, unit, beat, target, lastPlayed: at, passes };
}

/** The pass's tempo, counted in another note value. */
export const tempoIn = (pass: Pick<LevelPass, 'rung'>, beat: BeatUnit): Bpm =>
  inBeat(pass.rung.bpm, pass.rung.beat, beat);

// What moved on the last practice day: the fastest clean pass of each unit against the day before it was played.
import { localDate } from '../log/days.ts';
import { inBeat } from '../rhythm/pulse.ts';
import type { PassRecord } from '../model/pass.ts';
import type { BeatUnit, Bpm, IsoDate } from '../base/units.ts';

/** A unit that was played faster than the time before. */
export interface Gain {
  readonly chart: string;
  readonly unit: string;
  readonly beat: BeatUnit;
  readonly from: Bpm;
  readonly to: Bpm;
}

export interface LastTime {
  /** The last day on which anything was played. */
  readonly date: IsoDate;
  /** Judged passes of that day, and those of them that were clean. */
  readonly judged: number;
  readonly clean: number;
  /** Nothing was played on any day before. */
  readonly first: boolean;
  /** Largest share gained first. */
  readonly gains: readonly Gain[];
}

/**
 * Reads from the end, since logs are long.
 * @param units passes of each unit, settled, in time order. Undefined where nothing was played yet.
 */
export function lastTime(units: Iterable<readonly PassRecord[]>): LastTime | undefined {
  const played = [...units].filter((passes) => passes.length > 0);
  const date = played.reduce((last, passes) => later(last, localDate(passes.at(-1)!.at)), '');
  if (date === '') return undefined;
  const ofDay = played.flatMap((passes) => dayBefore(passes, passes.length, date));
  const judged = ofDay.filter(({ verdict }) => verdict !== 'unjudged');
  return {
    date,
    judged: judged.length,
    clean: judged.filter(isClean).length,
    first: played.every((passes) => localDate(passes[0]!.at) === date),
    gains: played
      .flatMap((passes) => gainOf(passes, date) ?? [])
      .sort((a, b) => b.to / b.from - a.to / a.from),
  };
}

function gainOf(passes: readonly PassRecord[], date: IsoDate): Gain | undefined {
  const ofDay = dayBefore(passes, passes.length, date);
  const end = passes.length - ofDay.length;
  const last = passes.findLastIndex((pass, i) => i < end && isClean(pass));
  const before = passes[last];
  if (ofDay.length === 0 || !before) return undefined;
  const { chart, unit, rung } = passes.at(-1)!;
  const from = fastest(dayBefore(passes, last + 1, localDate(before.at)), rung.beat);
  const to = fastest(ofDay, rung.beat);
  if (to <= from) return undefined;
  return { chart: chart.title, unit: unit.name, beat: rung.beat, from, to };
}

/** The passes before index `end` that were played on `date`, without a gap. */
function dayBefore(
  passes: readonly PassRecord[],
  end: number,
  date: IsoDate,
): readonly PassRecord[] {
  let from = end;
  while (from > 0 && localDate(passes[from - 1]!.at) === date) from--;
  return passes.slice(from, end);
}

const fastest = (passes: readonly PassRecord[], beat: BeatUnit): Bpm =>
  passes
    .filter(isClean)
    .reduce((best, { rung }) => Math.max(best, inBeat(rung.bpm, rung.beat, beat)), 0);

const isClean = ({ verdict }: PassRecord): boolean => verdict === 'clean';
const later = (a: IsoDate, b: IsoDate): IsoDate => (a > b ? a : b);

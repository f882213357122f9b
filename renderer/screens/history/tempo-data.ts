// The columns of the tempo plot: every pass, and owned tempos at the ends of practice days.
import { localDate } from '../../../app/core/log/days.ts';
import { type OwnedTempo, ownedTempo } from '../../../app/core/progress/owned-tempo.ts';
import { tempoIn } from '../../../app/core/log/per-unit.ts';
import { type BriefPass, PASS_VERDICTS } from '../../../app/core/model/pass.ts';
import type { BeatUnit, Bpm, IsoDate } from '../../../app/core/base/units.ts';

/** Where passes stand: at their moment, or one beside the other in their order. */
export type Along = 'time' | 'passes';

export interface TempoColumns {
  readonly along: Along;
  /** Seconds since 1970, or 0, 1, 2 …; increasing. */
  readonly x: Float64Array;
  readonly bpm: Float64Array;
  /** Index into {@link PASS_VERDICTS}. */
  readonly verdict: Uint8Array;
  /** Indexes of the cold passes, first of their day. */
  readonly cold: readonly number[];
  readonly days: readonly OwnedDay[];
}

export interface OwnedDay {
  readonly date: IsoDate;
  /** Index of the day's last pass. */
  readonly at: number;
  readonly owned: OwnedTempo;
}

/** Days for which an owned tempo is worked out; more are thinned evenly, the last always stays. */
const MOST_DAYS = 60;

/**
 * @param passes of one unit, settled, in time order: what is drawn.
 * @param days owned tempos that are known; they take longer than all the rest
 */
export const tempoColumns = (
  passes: readonly BriefPass[],
  beat: BeatUnit,
  along: Along,
  days: readonly OwnedDay[] = [],
): TempoColumns => ({
  along,
  x: Float64Array.from(passes, ({ at }, i) => (along === 'time' ? Date.parse(at) / 1000 : i)),
  bpm: Float64Array.from(passes, (pass) => tempoIn(pass, beat)),
  verdict: Uint8Array.from(passes, ({ verdict }) => PASS_VERDICTS.indexOf(verdict)),
  cold: passes.flatMap(({ cold }, i) => (cold ? [i] : [])),
  days,
});

/**
 * One after the other, earliest first.
 * @param passes that are drawn. @param all of the unit, also those that a filter holds back: an owned tempo is one
 * figure, whatever is shown.
 */
export function* ownedDays(
  passes: readonly BriefPass[],
  all: readonly BriefPass[],
  beat: BeatUnit,
): Generator<OwnedDay> {
  const ends = dayEnds(passes);
  const step = Math.max(1, Math.ceil(ends.length / MOST_DAYS));
  const chosen = ends.filter((_, i) => (ends.length - 1 - i) % step === 0);
  let end = 0;
  for (const at of chosen) {
    const date = localDate(passes[at]!.at);
    while (end < all.length && localDate(all[end]!.at) <= date) end++;
    yield { date, at, owned: ownedTempo(all.slice(0, end), beat, date) };
  }
}

/** Index of the last pass of each practice day. */
function dayEnds(passes: readonly BriefPass[]): number[] {
  return passes.flatMap((pass, i) => {
    const next = passes[i + 1];
    return next && localDate(next.at) === localDate(pass.at) ? [] : [i];
  });
}

type Column = (number | null)[];

/** Owned tempo and the ends of its interval as columns as long as the passes; null where there is no number. */
export function ownedColumns({ x, days }: TempoColumns): {
  readonly middle: Column;
  readonly low: Column;
  readonly high: Column;
} {
  const empty = (): Column => Array.from(x, () => null);
  const columns = { middle: empty(), low: empty(), high: empty() };
  for (const { at, owned } of days) {
    if (owned.kind !== 'number') continue;
    columns.middle[at] = owned.bpm;
    columns.low[at] = owned.low;
    columns.high[at] = owned.high;
  }
  return columns;
}

/** Smallest and largest tempo to show, with room around; holds the target. */
export function tempoRange({ bpm }: TempoColumns, target: Bpm): readonly [Bpm, Bpm] {
  let [low, high] = [target, target];
  for (const value of bpm) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  const room = Math.max(3, (high - low) * 0.08);
  return [low - room, high + room];
}

const DAY = 86_400;
/** A due date further off than this does not squeeze the passes together. */
const DUE_IN_VIEW = 60 * DAY;

/** The whole view along x with room at both ends; holds a due date that is near. */
export function tempoSpan({ x, along }: TempoColumns, due?: number): readonly [number, number] {
  const [first, last] = [x[0] ?? 0, x.at(-1) ?? 1];
  const near = along === 'time' && due !== undefined && due > last && due - last < DUE_IN_VIEW;
  const end = near ? due : last;
  const room = Math.max((end - first) * 0.02, along === 'time' ? 600 : 1);
  return [first - room, end + room];
}

// From the passes of one unit to what the level model reads: outcomes by practice day, and who judged them.
import { eachOf } from '../base/each-of.ts';
import type { BeatUnit, Bpm, IsoDate } from '../base/units.ts';
import { dayNumber, localDate, onSameDate } from '../log/days.ts';
import { tempoIn } from '../log/per-unit.ts';
import { type LevelPass, VERDICT_SOURCES, type VerdictSource } from '../model/pass.ts';
import type { Outcomes } from './day-observation.ts';
import type { DayOutcomes } from './level.ts';

/** What a figure rests on: judged passes of the last {@link REMEMBERED_DAYS} practice days. */
export interface Evidence {
  readonly passes: number;
  readonly judgedBy: Readonly<Record<VerdictSource, number>>;
  readonly lastPlayed?: IsoDate;
}

export interface Seen {
  /** Missed passes of each practice day, earliest first; empty where no pass counts. */
  readonly missedByDay: readonly number[];
  readonly evidence: Evidence;
  /** Of the last {@link LATELY} practice days. */
  readonly missedLately: number;
  readonly missed: number;
  /** Both 0 where no pass counts. */
  readonly slowest: Bpm;
  readonly fastest: Bpm;
}

/** Practice days looked at: the level walks, so that older ones say next to nothing about today. */
export const REMEMBERED_DAYS = 24;
/** Practice days in which something must have broken before a level is named. */
const LATELY = 3;
/** Passes after which a player counts as tired once, and the most that is counted. */
const TIRED_AFTER = 20;
const MOST_TIRED = 1.5;
/** Passes of one tempo are kept together within stretches of this many of a day. */
const STRETCH = 10;

/** Which passes a figure is made of: the warm ones, or the cold first ones of their day. */
export type Part = 'warm' | 'cold';

/**
 * Judged passes without an audio underrun, of the bars as they are now, up to the end of `asOf`.
 * @param passes of one unit, settled, in time order. @param beat the note value that tempos count.
 */
export function seenOf(
  passes: readonly LevelPass[],
  beat: BeatUnit,
  asOf: IsoDate,
  part: Part = 'warm',
): { readonly seen: Seen; readonly outcomes: readonly DayOutcomes[] } {
  const days = lastDays(passes, asOf, part);
  const judgedBy = eachOf(VERDICT_SOURCES, () => 0);
  let [counted, slowest, fastest] = [0, Infinity, 0];
  const outcomes = days.map(({ date, passes: those }): DayOutcomes => {
    const groups = new Map<string, { -readonly [K in keyof Outcomes]: Outcomes[K] }>();
    for (const { pass, before, into } of those) {
      const bpm = tempoIn(pass, beat);
      addTo(groups, bpm, before, into, pass.verdict === 'clean');
      judgedBy[pass.source]++;
      counted++;
      slowest = Math.min(slowest, bpm);
      fastest = Math.max(fastest, bpm);
    }
    return { day: dayNumber(date), groups: [...groups.values()] };
  });
  const last = days.at(-1)?.date;
  const missedByDay = outcomes.map(({ groups }) => sumOf(groups.map(({ no }) => no)));
  const seen = {
    missedByDay,
    evidence: { passes: counted, judgedBy, ...(last ? { lastPlayed: last } : {}) },
    missed: sumOf(missedByDay),
    missedLately: sumOf(missedByDay.slice(-LATELY)),
    slowest: counted > 0 ? slowest : 0,
    fastest,
  };
  return { seen, outcomes };
}

const sumOf = (numbers: readonly number[]): number => numbers.reduce((sum, n) => sum + n, 0);

interface DayPasses {
  readonly date: IsoDate;
  /** Each with the passes of the unit that were played before it on its day. */
  readonly passes: { readonly pass: LevelPass; readonly before: number; readonly into: number }[];
}

/** The last practice days that hold a pass that counts, earliest first. Reads from the end: logs are long. */
function lastDays(passes: readonly LevelPass[], asOf: IsoDate, part: Part): DayPasses[] {
  const fingerprint = passes.at(-1)?.unit.fingerprint;
  const found: DayPasses[] = [];
  let end = passes.length;
  while (end > 0 && found.length < REMEMBERED_DAYS) {
    const date = localDate(passes[end - 1]!.at);
    let from = end - 1;
    while (from > 0 && onSameDate(passes[from - 1]!.at, date)) from--;
    if (date <= asOf) {
      const ofDay = passes.slice(from, end).filter(({ unit }) => unit.fingerprint === fingerprint);
      const those = ofDay.flatMap((pass, before) =>
        isJudged(pass) && pass.cold === (part === 'cold')
          ? { pass, before, into: intoDay(before, ofDay.length) }
          : [],
      );
      if (those.length > 0) found.push({ date, passes: those });
    }
    end = from;
  }
  return found.reverse();
}

/** Some tire by the pass, some pace themselves by the day: half of each. */
const intoDay = (before: number, ofDay: number): number =>
  Math.min(MOST_TIRED, before / TIRED_AFTER) / 2 + before / Math.max(1, ofDay - 1) / 2;

/** What nobody judged, and what the sound spoilt, is held neither for nor against the player. */
export const isJudged = ({ verdict, underrun }: Pick<LevelPass, 'verdict' | 'underrun'>): boolean =>
  verdict !== 'unjudged' && !underrun;

function addTo(
  groups: Map<string, { -readonly [K in keyof Outcomes]: Outcomes[K] }>,
  bpm: Bpm,
  before: number,
  into: number,
  clean: boolean,
): void {
  const key = `${bpm} ${Math.floor(before / STRETCH)}`;
  const group = groups.get(key) ?? { x: Math.log2(bpm), into: 0, yes: 0, no: 0 };
  const n = group.yes + group.no;
  group.into = (group.into * n + into) / (n + 1);
  if (clean) group.yes++;
  else group.no++;
  groups.set(key, group);
}

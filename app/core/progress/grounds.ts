// What the standing of a unit rests on, made of its passes once: it holds until more is played, whatever the day.
import type { BeatUnit, Bpm, IsoDate, Seconds } from '../base/units.ts';
import { localDate, passesUpTo } from '../log/days.ts';
import { tempoIn } from '../log/per-unit.ts';
import type { LevelPass, PassRecord } from '../model/pass.ts';
import { type DayHeard, heardByDay } from './heard-by-day.ts';
import { levelThen, type UnitLevel } from './owned-tempo.ts';

/** One day on which a unit was played. */
export interface DayPlayed {
  readonly date: IsoDate;
  readonly seconds: Seconds;
  readonly clean: number;
  readonly missed: number;
  /** Fastest clean pass; absent without one. */
  readonly best?: Bpm;
}

/** Every tempo counts the same note value. */
export interface Grounds {
  /** As they were on the last practice day. */
  readonly warm: UnitLevel;
  readonly cold: UnitLevel;
  /** The latest, earliest first: all of {@link LOOKED_BACK} days and at least two before those, where there are so many. */
  readonly days: readonly DayPlayed[];
  /** What was heard and said of its changes, on the latest of them. */
  readonly heard: readonly DayHeard[];
  /** The latest day on which it was more than looked at. */
  readonly turn?: IsoDate;
}

/** Days within which pace and share clean are looked for. */
export const LOOKED_BACK = 28;
/** Minutes of playing, count-ins and rests left out, from which on a day's work is more than a look. Our choice. */
export const MORE_THAN_A_LOOK = 1.5;

/** @param passes of one unit, settled, in time order; those after `asOf` are left out. */
export function groundsOf(all: readonly PassRecord[], beat: BeatUnit, asOf: IsoDate): Grounds {
  const passes = passesUpTo(all, asOf);
  const days = daysOf(passes, beat);
  const turn = days.findLast(({ seconds }) => seconds >= 60 * MORE_THAN_A_LOOK);
  return {
    warm: levelThen(passes, beat, asOf),
    cold: levelThen(passes, beat, asOf, 'cold'),
    days: days.slice(-LOOKED_BACK - 2),
    heard: heardByDay(passes, asOf),
    ...(turn ? { turn: turn.date } : {}),
  };
}

function daysOf(passes: readonly LevelPass[], beat: BeatUnit): DayPlayed[] {
  return [...Map.groupBy(passes, ({ at }) => localDate(at))]
    .map(([date, those]) => dayOf(date, those, beat))
    .sort((a, b) => (a.date < b.date ? -1 : 1));
}

function dayOf(date: IsoDate, passes: readonly LevelPass[], beat: BeatUnit): DayPlayed {
  const clean = passes.filter(({ verdict }) => verdict === 'clean');
  return {
    date,
    seconds: passes.reduce((sum, { duration }) => sum + duration, 0),
    clean: clean.length,
    missed: passes.filter(({ verdict }) => verdict === 'missed').length,
    ...(clean.length > 0 ? { best: Math.max(...clean.map((pass) => tempoIn(pass, beat))) } : {}),
  };
}

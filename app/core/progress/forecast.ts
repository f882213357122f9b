// When the target may be reached, or what stands in the way: two dates that hold four times in five, or none.
import { owns } from './owns.ts';
import type { Bpm, IsoDate } from '../base/units.ts';
import { dateOfDay, dayNumber } from '../log/days.ts';
import { daysUntil, futuresOf } from './ahead.ts';
import { breaksMost, type DayHeard, heardFrom } from './heard-by-day.ts';
import { levelQuantile } from './level-shares.ts';
import type { DayPlayed } from './grounds.ts';
import type { DayLevel } from './level.ts';
import type { OwnedTempo, UnitLevel } from './owned-tempo.ts';

/** One thing to try when a unit stands still or slips. */
export type Suggestion =
  | { readonly kind: 'drill-change'; readonly from: string; readonly to: string }
  | { readonly kind: 'smaller-step' }
  /** A gap of 24 hours helps (Simmons 2011, JRME 59:4). */
  | { readonly kind: 'leave-a-day' };

/** How often a unit is practised, over the last four weeks at most, breaks left out. */
export interface Pace {
  readonly daysPerWeek: number;
}

export type Forecast =
  | { readonly kind: 'reached' }
  | { readonly kind: 'not-enough'; readonly days: number; readonly needed: number }
  /** Most of the last days were clean nearly throughout: nobody can tell from them what would break. */
  | { readonly kind: 'untested'; readonly days: number }
  /** Between the other two four times in five, if practice goes on at this pace; most likely about `date`. */
  | {
      readonly kind: 'date';
      readonly date: IsoDate;
      readonly earliest: IsoDate;
      readonly latest: IsoDate;
      readonly pace: Pace;
    }
  /** The log does not carry a date: what was gained over the last `days` practice days, and the next small goal. */
  | {
      readonly kind: 'open';
      readonly from: Bpm;
      readonly to: Bpm;
      readonly days: number;
      readonly next: Bpm;
    }
  /** The later half of the last `days` practice days hardly gained on the earlier half. */
  | {
      readonly kind: 'plateau';
      readonly level: Bpm;
      readonly days: number;
      readonly suggestion: Suggestion;
    }
  /** The later half of the last `days` practice days was slower than the earlier half. */
  | {
      readonly kind: 'slipping';
      readonly from: Bpm;
      readonly to: Bpm;
      readonly days: number;
      readonly suggestion: Suggestion;
    };

export interface ForecastQuestion {
  /** Practice days of the unit, earliest first. */
  readonly days: readonly Pick<DayPlayed, 'date'>[];
  /** What was heard and said of its changes lately: looked at where the tempo stands still. */
  readonly heard: readonly DayHeard[];
  readonly target: Bpm;
  readonly asOf: IsoDate;
}

/** Fewer practice days than this do not show a course. Our choice. */
const LEAST_DAYS = 5;
/** So many practice days are compared with as many before them; longer stretches first, they see more. */
const COMPARED_DAYS = [8, 6, 4];
/** A slip is looked for in the latest days only. */
const SLIP_DAYS = 4;
/** A gain of less than this from one stretch to the next is standing still. Our choice, about the smallest step heard at 60 bpm (2.6 %). */
const STANDING_STILL = Math.log2(1.03);
/** z of one-sided limits: 90 % sure of standing still, 95 % sure before saying that it got slower. */
const SURE = 1.2816;
const VERY_SURE = 1.6449;
/** Day-to-day scatter assumed when comparing days: 2 % of tempo. Our choice; the unit test gives the rate of false alarms. */
const DAY_SCATTER = Math.log2(1.02);

/** From the unit's level, and from what is owned of it. */
export function forecastFrom(
  question: ForecastQuestion,
  level: UnitLevel,
  owned: OwnedTempo,
): Forecast {
  const { target } = question;
  const days = level.seen.missedByDay.length;
  if (owns(owned, target)) return { kind: 'reached' };
  if (!level.reading || days < LEAST_DAYS) return { kind: 'not-enough', days, needed: LEAST_DAYS };
  if (mostlyUntested(level)) return { kind: 'untested', days: Math.min(8, days) };
  return (
    standing(level.reading.days, question) ?? arrival(level, question) ?? open(level, question)
  );
}

/** Were more than half of the last practice days (eight at most) clean throughout? */
function mostlyUntested({ seen }: UnitLevel): boolean {
  const last = seen.missedByDay.slice(-8);
  return last.filter((missed) => missed === 0).length > last.length / 2;
}

/** A gap this long, and this many times the usual one, is a break and says nothing about the pace. */
const BREAK_DAYS = 7;
const BREAK_TIMES = 3;

const PACE_DAYS = 28;

/** Practice days of the unit a week, over four weeks, a first week taken as a whole one. @param days earliest first */
export function paceOf(days: readonly Pick<DayPlayed, 'date'>[], asOf: IsoDate): Pace {
  const today = dayNumber(asOf);
  const numbers = days.map(({ date }) => dayNumber(date)).filter((day) => day <= today);
  const recent = numbers.filter((day) => day > today - PACE_DAYS);
  const gaps = recent.slice(1).map((day, i) => day - recent[i]!);
  const usual = gaps.toSorted((a, b) => a - b)[Math.floor(gaps.length / 2)] ?? 0;
  const away = gaps
    .filter((gap) => gap >= BREAK_DAYS && gap > BREAK_TIMES * usual)
    .reduce((sum, gap) => sum + gap - 1, 0);
  const older = recent.length < numbers.length;
  const begun = older ? PACE_DAYS : Math.max(7, today - (recent[0] ?? today) + 1);
  return { daysPerWeek: Math.min(7, (7 * recent.length) / (begun - away)) };
}

/**
 * Chosen by simulation on one set of seeds, checked on others (`npm run bench -- --only honest-forecast`):
 * a date is named only where seven futures in ten arrive within {@link SOON} days and not much later than
 * the middle one; the dates are the quantile {@link EARLY} and {@link STRETCH} times {@link LATE}, since real
 * learners meet plateaus that the futures do not know.
 */
const SOON = 50;
const NARROW = 1.65;
const EARLY = 0.3;
const LATE = 0.7;
const STRETCH = 3;
/** Where the true day lies, on average, over the middle of the futures. */
const LATER = 1.35;

function arrival(level: UnitLevel, question: ForecastQuestion): Forecast | undefined {
  const { target, asOf } = question;
  const pace = paceOf(question.days, asOf);
  if (pace.daysPerWeek === 0) return undefined;
  const until = daysUntil(futuresOf(level.reading!.beliefs), target);
  const [early, middle, late] = [until(EARLY), until(0.5), until(LATE)];
  const calendar = (days: number): number => (days * 7) / pace.daysPerWeek;
  if (!(calendar(late) <= SOON && late <= NARROW * Math.max(middle, 1))) return undefined;
  const date = (days: number): IsoDate => dateOfDay(dayNumber(asOf) + days);
  const first = Math.max(1, Math.floor(calendar(early)));
  const last = Math.max(first, Math.ceil(STRETCH * calendar(late)));
  const likely = Math.min(last, Math.max(first, Math.ceil(LATER * calendar(middle))));
  return { kind: 'date', date: date(likely), earliest: date(first), latest: date(last), pace };
}

/** Practice days whose gain is told, and the next small goal: a share of the level now, at most the target. */
const TOLD_DAYS = 14;
const SMALL_GOAL = 1.04;

function open({ seen, reading }: UnitLevel, { target }: ForecastQuestion): Forecast {
  const now = 2 ** levelQuantile(reading!.beliefs, 0.5);
  const days = Math.min(TOLD_DAYS, seen.missedByDay.length);
  const first = meanOf(reading!.days.slice(-days).slice(0, 3)).mean;
  return {
    kind: 'open',
    from: 2 ** first,
    to: now,
    days,
    next: Math.min(target, Math.max(Math.ceil(now + 1), Math.round(now * SMALL_GOAL))),
  };
}

/** A plateau or a slip, if the last days show one clearly enough. */
function standing(
  days: readonly DayLevel[],
  { heard, asOf }: ForecastQuestion,
): Forecast | undefined {
  const slip = compareHalves(days, SLIP_DAYS);
  if (slip && slip.gain + VERY_SURE * slip.error < 0) {
    const { before, now } = slip;
    const suggestion = suggest(heard, asOf);
    return { kind: 'slipping', from: 2 ** before, to: 2 ** now, days: 2 * SLIP_DAYS, suggestion };
  }
  for (const count of COMPARED_DAYS) {
    const halves = compareHalves(days, count);
    if (halves && halves.gain + SURE * halves.error < STANDING_STILL) {
      const suggestion = suggest(heard, asOf);
      return { kind: 'plateau', level: 2 ** halves.now, days: 2 * count, suggestion };
    }
  }
  return undefined;
}

/** Mean levels of the last `count` days and the `count` before, and the gain with its standard error. */
function compareHalves(days: readonly DayLevel[], count: number) {
  if (days.length < 2 * count) return undefined;
  const now = meanOf(days.slice(-count));
  const before = meanOf(days.slice(-2 * count, -count));
  return {
    now: now.mean,
    before: before.mean,
    gain: now.mean - before.mean,
    error: Math.hypot(now.error, before.error),
  };
}

function meanOf(days: readonly DayLevel[]): { mean: number; error: number } {
  let [sum, weights] = [0, 0];
  for (const { level, spread } of days) {
    const weight = 1 / (spread ** 2 + DAY_SCATTER ** 2);
    sum += weight * level;
    weights += weight;
  }
  return { mean: sum / weights, error: Math.sqrt(1 / weights) };
}

/** A change that likely breaks more often than this is worth its own drill. Our choice. */
const BREAKS_OFTEN = 0.25;
/** Practised on each of this many days up to now: a day off may help. Our choice. */
const DAYS_ON_END = 6;

/** The hardest change if the ear knows one; else a day's rest after days on end; else a smaller step. */
export function suggest(heard: readonly DayHeard[], asOf: IsoDate): Suggestion {
  const recent = heard.filter(({ date }) => date >= heardFrom(asOf));
  const worst = breaksMost(recent);
  if (worst && worst.atLeast >= BREAKS_OFTEN) {
    return { kind: 'drill-change', from: worst.from, to: worst.to };
  }
  const today = dayNumber(asOf);
  const days = new Set(recent.map(({ date }) => date));
  const onEnd = Array.from({ length: DAYS_ON_END }, (_, i) => dateOfDay(today - i));
  return onEnd.every((date) => days.has(date)) ? { kind: 'leave-a-day' } : { kind: 'smaller-step' };
}

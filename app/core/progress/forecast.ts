// When the target may be reached, or what stands in the way: an expectation with its interval, never a promise.
import type { BeatUnit, Bpm, IsoDate } from '../base/units.ts';
import { dateOfDay, dayNumber, localDate } from '../log/days.ts';
import { breakingChanges } from './changes.ts';
import {
  type Course,
  type DayPoint,
  dayPoints,
  daysUntil,
  fitCourse,
  LEAST_DAYS,
  tempoAhead,
} from './course.ts';
import type { OwnedTempo } from './owned-tempo.ts';
import type { PassRecord } from '../model/pass.ts';

/** One thing to try when a unit stands still or slips. */
export type Suggestion =
  | { readonly kind: 'drill-change'; readonly from: string; readonly to: string }
  | { readonly kind: 'smaller-step' }
  /** A gap of 24 hours helps (Simmons 2011, JRME 59:4). */
  | { readonly kind: 'leave-a-day' };

/** How often a unit is practised, over the last four weeks at most. */
export interface Pace {
  readonly daysPerWeek: number;
}

export type Forecast =
  | { readonly kind: 'reached' }
  | { readonly kind: 'not-enough'; readonly days: number; readonly needed: number }
  /** Most of the last days were clean nearly throughout: nobody can tell from them what would break. */
  | { readonly kind: 'untested'; readonly days: number }
  /** Expected on `date`; four times in five between the other two. No `latest`: it may level off before. */
  | {
      readonly kind: 'date';
      readonly date: IsoDate;
      readonly earliest: IsoDate;
      readonly latest?: IsoDate;
      readonly pace: Pace;
    }
  /** The course so far levels off below the target, or needs more than a year. */
  | { readonly kind: 'far'; readonly inAYear: Bpm; readonly pace: Pace }
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
  /** Of one unit, settled, in time order. */
  readonly passes: readonly PassRecord[];
  readonly beat: BeatUnit;
  readonly target: Bpm;
  readonly asOf: IsoDate;
  readonly owned: OwnedTempo;
}

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
const YEAR = 365;

export function forecast(question: ForecastQuestion): Forecast {
  const { passes, beat, asOf } = question;
  const points = dayPoints(
    passes.filter((pass) => localDate(pass.at) <= asOf),
    beat,
  );
  return forecastFrom(question, points, fitCourse(points));
}

/** The same where the days' points and their course are at hand already. */
export function forecastFrom(
  question: ForecastQuestion,
  points: readonly DayPoint[],
  course: Course | undefined,
): Forecast {
  const { passes, target, asOf, owned } = question;
  if (owns(owned, target)) return { kind: 'reached' };
  if (!course) return { kind: 'not-enough', days: points.length, needed: LEAST_DAYS };
  if (mostlyUntested(points)) return { kind: 'untested', days: latest(points).length };
  return standing(points, question) ?? arrival(course, target, asOf, paceOf(passes, asOf));
}

const latest = (points: readonly DayPoint[]): readonly DayPoint[] => points.slice(-8);

/** Were more than half of the last practice days (eight at most) clean nearly throughout? */
export function mostlyUntested(points: readonly DayPoint[]): boolean {
  const last = latest(points);
  return last.filter(({ untested }) => untested).length > last.length / 2;
}

/** Is the target owned as far as the log can say? */
export const owns = (owned: OwnedTempo, target: Bpm): boolean =>
  (owned.kind === 'number' || owned.kind === 'at-least') && owned.bpm >= target * (1 - 1e-9);

/** Practice days of the unit a week, over four weeks or since it was first played. */
export function paceOf(passes: readonly PassRecord[], asOf: IsoDate): Pace {
  const today = dayNumber(asOf);
  const dates = new Set(passes.map((pass) => localDate(pass.at)));
  const days = Array.from(dates, dayNumber).filter((day) => day <= today);
  const recent = days.filter((day) => day > today - 28);
  const span = Math.min(28, Math.max(7, today - Math.min(...days) + 1));
  return { daysPerWeek: days.length === 0 ? 0 : (7 * recent.length) / span };
}

function arrival(course: Course, target: Bpm, asOf: IsoDate, pace: Pace): Forecast {
  const { low, middle, high } = daysUntil(course, target);
  const calendarDays = (days: number): number => Math.ceil((days * 7) / pace.daysPerWeek);
  if (!(calendarDays(middle) <= YEAR)) {
    const inAYear = tempoAhead(course, (YEAR / 7) * pace.daysPerWeek).middle;
    return { kind: 'far', inAYear: Math.min(inAYear, target), pace };
  }
  const date = (days: number): IsoDate => dateOfDay(dayNumber(asOf) + calendarDays(days));
  const latest = calendarDays(high) <= 2 * YEAR ? { latest: date(high) } : {};
  return { kind: 'date', date: date(middle), earliest: date(low), ...latest, pace };
}

/** A plateau or a slip, if the last days show one clearly enough. */
function standing(
  points: readonly DayPoint[],
  { passes, asOf }: ForecastQuestion,
): Forecast | undefined {
  const slip = compareHalves(points, SLIP_DAYS);
  if (slip && slip.gain + VERY_SURE * slip.error < 0) {
    const { before, now } = slip;
    const suggestion = suggest(passes, asOf);
    return { kind: 'slipping', from: 2 ** before, to: 2 ** now, days: 2 * SLIP_DAYS, suggestion };
  }
  for (const days of COMPARED_DAYS) {
    const halves = compareHalves(points, days);
    if (halves && halves.gain + SURE * halves.error < STANDING_STILL) {
      const suggestion = suggest(passes, asOf);
      return { kind: 'plateau', level: 2 ** halves.now, days: 2 * days, suggestion };
    }
  }
  return undefined;
}

/** Means of log₂ tempo over the last `days` and the `days` before, and the gain with its standard error. */
function compareHalves(points: readonly DayPoint[], days: number) {
  if (points.length < 2 * days) return undefined;
  const now = meanOf(points.slice(-days));
  const before = meanOf(points.slice(-2 * days, -days));
  return {
    now: now.mean,
    before: before.mean,
    gain: now.mean - before.mean,
    error: Math.hypot(now.error, before.error),
  };
}

function meanOf(points: readonly DayPoint[]): { mean: number; error: number } {
  let [sum, weights] = [0, 0];
  for (const { bpm, spread } of points) {
    const weight = 1 / (spread ** 2 + DAY_SCATTER ** 2);
    sum += weight * Math.log2(bpm);
    weights += weight;
  }
  return { mean: sum / weights, error: Math.sqrt(1 / weights) };
}

/** A change that likely breaks more often than this is worth its own drill. Our choice. */
const BREAKS_OFTEN = 0.25;
/** Practised on each of this many days up to now: a day off may help. Our choice. */
const DAYS_ON_END = 6;

/** The hardest change if the ear knows one; else a day's rest after days on end; else a smaller step. */
export function suggest(passes: readonly PassRecord[], asOf: IsoDate): Suggestion {
  const today = dayNumber(asOf);
  const recent = passes.filter((pass) => dayNumber(localDate(pass.at)) > today - 14);
  const worst = breakingChanges(recent)[0];
  if (worst && worst.atLeast >= BREAKS_OFTEN) {
    return { kind: 'drill-change', from: worst.from, to: worst.to };
  }
  const days = new Set(recent.map((pass) => localDate(pass.at)));
  const onEnd = Array.from({ length: DAYS_ON_END }, (_, i) => dateOfDay(today - i));
  return onEnd.every((date) => days.has(date)) ? { kind: 'leave-a-day' } : { kind: 'smaller-step' };
}

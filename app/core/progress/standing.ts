// Where one unit stands on one day against its target and date: everything Today, History and the desk say about it.
import type { BeatUnit, Bpm, IsoDate, Share } from '../base/units.ts';
import type { Assignment } from './assignment.ts';
import { dateOfDay, dayNumber, daysBetween, localDate, weekOf } from '../log/days.ts';
import { dayPoints, fitCourse, type Span, tempoAhead } from './course.ts';
import { forecastFrom, type Forecast, mostlyUntested, owns, paceOf } from './forecast.ts';
import { nextDayTempo, type OwnedTempo, ownedTempo } from './owned-tempo.ts';
import { inBeat } from '../rhythm/pulse.ts';
import type { PassRecord } from '../model/pass.ts';
import { tally } from '../log/tally.ts';

/** Can the date be kept? Tempos are what the course so far leads one to expect on that day. */
export type DueOutlook =
  | { readonly kind: 'reached' }
  /** The date has passed. */
  | { readonly kind: 'overdue'; readonly days: number }
  | { readonly kind: 'unknown'; readonly days: number }
  /** Even the fast end of what is to be expected lies below the target. */
  | { readonly kind: 'out-of-reach'; readonly days: number; readonly expected: Span }
  | { readonly kind: 'in-doubt'; readonly days: number; readonly expected: Span }
  | { readonly kind: 'on-course'; readonly days: number; readonly expected: Span };

export interface UnitStanding {
  readonly beat: BeatUnit;
  readonly target: Bpm;
  readonly owned: OwnedTempo;
  readonly nextDay: OwnedTempo;
  readonly forecast: Forecast;
  readonly outlook?: DueOutlook;
  /** Fastest clean pass of the last practice day. */
  readonly bestOfDay?: Bpm;
  readonly lastPractised?: IsoDate;
  readonly daysSince?: number;
  readonly practiceDays: number;
  /** Of the last four weeks. */
  readonly shareClean?: Share;
  /** Played since Monday. */
  readonly minutesThisWeek: number;
}

export interface StandingQuestion {
  /** Of one unit, settled, in time order. */
  readonly passes: readonly PassRecord[];
  readonly beat: BeatUnit;
  readonly target: Bpm;
  readonly asOf: IsoDate;
  readonly due?: IsoDate;
}

export function standingOf(question: StandingQuestion): UnitStanding {
  const { beat, target, asOf, due } = question;
  const passes = question.passes.filter((pass) => localDate(pass.at) <= asOf);
  const owned = ownedTempo(passes, beat, asOf);
  const points = dayPoints(passes, beat);
  const course = fitCourse(points);
  const forecast = forecastFrom({ passes, beat, target, asOf, owned }, points, course);
  const known = mostlyUntested(points) ? undefined : course;
  const expected = (days: number): Span | undefined =>
    known && tempoAhead(known, (days / 7) * paceOf(passes, asOf).daysPerWeek);
  return {
    beat,
    target,
    owned,
    nextDay: nextDayTempo(passes, beat, asOf),
    forecast,
    ...(due === undefined
      ? {}
      : { outlook: outlookOf(owned, target, daysBetween(asOf, due), expected) }),
    ...lately(passes, beat, asOf),
  };
}

/** The same for an assignment, in its own beat unit. @param passes of the assignment's unit. */
export const standingOfAssignment = (
  { terms }: Assignment,
  passes: readonly PassRecord[],
  asOf: IsoDate,
): UnitStanding =>
  standingOf({
    passes,
    beat: terms.rules.beat,
    target: terms.rules.target,
    asOf,
    ...(terms.due === undefined ? {} : { due: terms.due }),
  });

function outlookOf(
  owned: OwnedTempo,
  target: Bpm,
  days: number,
  expectedIn: (days: number) => Span | undefined,
): DueOutlook {
  if (owns(owned, target)) return { kind: 'reached' };
  if (days < 0) return { kind: 'overdue', days: -days };
  const expected = expectedIn(days);
  if (!expected) return { kind: 'unknown', days };
  if (expected.high < target) return { kind: 'out-of-reach', days, expected };
  return { kind: expected.middle < target ? 'in-doubt' : 'on-course', days, expected };
}

function lately(passes: readonly PassRecord[], beat: BeatUnit, asOf: IsoDate) {
  const last = passes.at(-1);
  const lastPractised = last && localDate(last.at);
  const monday = weekOf(asOf);
  const monthAgo = dateOfDay(dayNumber(asOf) - 28);
  const { shareClean } = tally(passes.filter((pass) => localDate(pass.at) > monthAgo));
  const best = Math.max(
    ...passes
      .filter((pass) => pass.verdict === 'clean' && localDate(pass.at) === lastPractised)
      .map((pass) => inBeat(pass.rung.bpm, pass.rung.beat, beat)),
  );
  return {
    practiceDays: new Set(passes.map((pass) => localDate(pass.at))).size,
    minutesThisWeek: tally(passes.filter((pass) => localDate(pass.at) >= monday)).minutes,
    ...(best > 0 ? { bestOfDay: best } : {}),
    ...(lastPractised ? { lastPractised, daysSince: daysBetween(lastPractised, asOf) } : {}),
    ...(shareClean === undefined ? {} : { shareClean }),
  };
}

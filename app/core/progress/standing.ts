// Where one unit stands on one day against its target and date: everything Today, History and the desk say about it.
import type { BeatUnit, Bpm, IsoDate, Share } from '../base/units.ts';
import { dateOfDay, dayNumber, daysBetween, passesUpTo, weekOf } from '../log/days.ts';
import { futuresOf, type Span, tempoAhead } from './ahead.ts';
import { forecastFrom, type Forecast, paceOf } from './forecast.ts';
import { type DayPlayed, type Grounds, groundsOf, LOOKED_BACK } from './grounds.ts';
import { levelOn, ownedFrom, type OwnedTempo, type Surer, surerBy } from './owned-tempo.ts';
import { owns } from './owns.ts';
import type { PassRecord } from '../model/pass.ts';

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
  /** What would make `owned` surer. */
  readonly surer: Surer;
  readonly nextDay: OwnedTempo;
  readonly forecast: Forecast;
  readonly outlook?: DueOutlook;
  /** Fastest clean pass of the last practice day. */
  readonly bestOfDay?: Bpm;
  readonly lastPractised?: IsoDate;
  readonly daysSince?: number;
  /** The same since the last day on which it was more than looked at. */
  readonly daysSinceTurn?: number;
  /** Days from the last practice day but one to the last. */
  readonly lastGap?: number;
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

/** Where a unit stands at the end of `asOf`; later passes are left out. */
export function standingOf(question: StandingQuestion): UnitStanding {
  const { beat, asOf } = question;
  const passes = passesUpTo(question.passes, asOf);
  return standingOn(groundsOf(passes, beat, asOf), question);
}

/** @param grounds of the same note value, made on the day asked about or before, of all that was played up to it */
export function standingOn(
  grounds: Grounds,
  question: Omit<StandingQuestion, 'passes'>,
): UnitStanding {
  const { beat, target, asOf, due } = question;
  const { days, heard } = grounds;
  const level = levelOn(grounds.warm, asOf);
  const owned = ownedFrom(level);
  const forecast = forecastFrom({ target, asOf, days, heard }, level, owned);
  const told = forecast.kind !== 'not-enough' && forecast.kind !== 'untested';
  const expected = (ahead: number): Span | undefined =>
    told && level.reading
      ? tempoAhead(futuresOf(level.reading.beliefs), (ahead / 7) * paceOf(days, asOf).daysPerWeek)
      : undefined;
  return {
    beat,
    target,
    owned,
    surer: surerBy(owned, level),
    nextDay: ownedFrom(levelOn(grounds.cold, asOf)),
    forecast,
    ...(due === undefined
      ? {}
      : { outlook: outlookOf(owned, target, daysBetween(asOf, due), expected) }),
    ...lately(grounds, asOf),
  };
}

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

function lately({ days, turn }: Grounds, asOf: IsoDate) {
  const last = days.at(-1);
  const before = days.at(-2);
  const month = daysSince(days, dateOfDay(dayNumber(asOf) - LOOKED_BACK + 1));
  const clean = sumOf(month, (day) => day.clean);
  const judged = clean + sumOf(month, (day) => day.missed);
  return {
    minutesThisWeek: sumOf(daysSince(days, weekOf(asOf)), (day) => day.seconds) / 60,
    ...(last?.best === undefined ? {} : { bestOfDay: last.best }),
    ...(last ? { lastPractised: last.date, daysSince: daysBetween(last.date, asOf) } : {}),
    ...(turn === undefined ? {} : { daysSinceTurn: daysBetween(turn, asOf) }),
    ...(last && before ? { lastGap: daysBetween(before.date, last.date) } : {}),
    ...(judged > 0 ? { shareClean: clean / judged } : {}),
  };
}

const daysSince = (days: readonly DayPlayed[], date: IsoDate): readonly DayPlayed[] =>
  days.filter((day) => day.date >= date);

const sumOf = (days: readonly DayPlayed[], of: (day: DayPlayed) => number): number =>
  days.reduce((sum, day) => sum + of(day), 0);

// Where one unit stands on one day against its target and date: everything Today, History and the desk say about it.
import type { BeatUnit, Bpm, IsoDate, Share } from '../base/units.ts';
import {
  dateOfDay,
  dayNumber,
  daysBetween,
  localDate,
  passesSince,
  passesUpTo,
  weekOf,
} from '../log/days.ts';
import { futuresOf, type Span, tempoAhead } from './ahead.ts';
import { forecastFrom, type Forecast, type ForecastQuestion, paceOf } from './forecast.ts';
import {
  levelOf,
  nextDayTempo,
  ownedFrom,
  type OwnedTempo,
  type Surer,
  surerBy,
} from './owned-tempo.ts';
import { owns } from './owns.ts';
import { inBeat } from '../rhythm/pulse.ts';
import type { LevelPass, PassRecord } from '../model/pass.ts';
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

/** The same of passes in brief, whole ones being looked up where they are needed. */
export type BriefQuestion = Omit<StandingQuestion, 'passes'> &
  Pick<ForecastQuestion, 'passes' | 'wholeSince'>;

export function standingOf(question: StandingQuestion): UnitStanding {
  const passes = passesUpTo(question.passes, question.asOf);
  return standingBriefly({
    ...question,
    passes,
    wholeSince: (date) => passesSince(passes, date),
  });
}

export function standingBriefly(question: BriefQuestion): UnitStanding {
  const { beat, target, asOf, due, wholeSince } = question;
  const passes = passesUpTo(question.passes, asOf);
  const level = levelOf(passes, beat, asOf);
  const owned = ownedFrom(level);
  const forecast = forecastFrom({ passes, wholeSince, beat, target, asOf }, level, owned);
  const told = forecast.kind !== 'not-enough' && forecast.kind !== 'untested';
  const expected = (days: number): Span | undefined =>
    told && level.reading
      ? tempoAhead(futuresOf(level.reading.beliefs), (days / 7) * paceOf(passes, asOf).daysPerWeek)
      : undefined;
  return {
    beat,
    target,
    owned,
    surer: surerBy(owned, level),
    nextDay: nextDayTempo(passes, beat, asOf),
    forecast,
    ...(due === undefined
      ? {}
      : { outlook: outlookOf(owned, target, daysBetween(asOf, due), expected) }),
    ...lately(passes, beat, asOf),
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

/** Minutes of playing, count-ins and rests left out, from which on a day's work is more than a look. Our choice. */
export const MORE_THAN_A_LOOK = 1.5;

function lately(passes: readonly LevelPass[], beat: BeatUnit, asOf: IsoDate) {
  const days = practisedDays(passes);
  const last = days.at(-1);
  const monday = weekOf(asOf);
  const monthAgo = dateOfDay(dayNumber(asOf) - 28);
  const { shareClean } = tally(passesSince(passes, dateOfDay(dayNumber(monthAgo) + 1)));
  const turn = days.findLast(({ seconds }) => seconds >= 60 * MORE_THAN_A_LOOK);
  const before = days.at(-2);
  const best = last ? bestClean(passesSince(passes, last.date), beat) : 0;
  return {
    minutesThisWeek: tally(passesSince(passes, monday)).minutes,
    ...(best > 0 ? { bestOfDay: best } : {}),
    ...(last ? { lastPractised: last.date, daysSince: daysBetween(last.date, asOf) } : {}),
    ...(turn ? { daysSinceTurn: daysBetween(turn.date, asOf) } : {}),
    ...(last && before ? { lastGap: daysBetween(before.date, last.date) } : {}),
    ...(shareClean === undefined ? {} : { shareClean }),
  };
}

/** Text that follows every time of a date: they go on with a T. Whole texts are compared, since cutting 200,000 takes a while. */
const endOf = (date: IsoDate): string => `${date}U`;

/** Every practice day with the seconds played on it, earliest first. */
function practisedDays(passes: readonly LevelPass[]): { date: IsoDate; seconds: number }[] {
  const days: { date: IsoDate; seconds: number }[] = [];
  let [end, seconds] = ['', 0];
  for (const { at, duration } of passes) {
    if (at < end) {
      seconds += duration;
      continue;
    }
    if (end !== '') days.push({ date: localDate(end), seconds });
    [end, seconds] = [endOf(localDate(at)), duration];
  }
  if (end !== '') days.push({ date: localDate(end), seconds });
  return days;
}

const bestClean = (passes: readonly LevelPass[], beat: BeatUnit): Bpm =>
  Math.max(
    0,
    ...passes
      .filter(({ verdict }) => verdict === 'clean')
      .map(({ rung }) => inBeat(rung.bpm, rung.beat, beat)),
  );

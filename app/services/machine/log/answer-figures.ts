// Answers what the rooms ask of single units: their course, their sittings, what broke, where they stand.
import { setImmediate } from 'node:timers/promises';
import type { IsoDate } from '../../../core/base/units.ts';
import { dateOfDay, dayNumber, localDate } from '../../../core/log/days.ts';
import { packCourse } from '../../../core/log/course.ts';
import { summariseUnit } from '../../../core/log/per-unit.ts';
import type { PassRecord } from '../../../core/model/pass.ts';
import { breakingChanges, type ChangeTally } from '../../../core/progress/changes.ts';
import { gainsOf, type LastTime } from '../../../core/progress/moved.ts';
import { standingOf, type UnitStanding } from '../../../core/progress/standing.ts';
import type { Handlers } from '../../contract/handlers.ts';
import type { BarsAsked, PassQuery, StandingAsked } from '../../contract/log-queries.ts';
import type { LogReader } from './read-log.ts';

/** What figures are made of: settled passes in time order, and what was counted. */
export interface FigureSource extends Pick<LogReader, 'units' | 'days' | 'counts' | 'bests'> {
  readonly passes: (query: PassQuery) => readonly PassRecord[];
  /** See `LogReader`. */
  readonly lately: (asked: BarsAsked & { readonly asOf: IsoDate }) => readonly PassRecord[];
}

type FigureCall = `log.${
  'course' | 'sittings' | 'changes' | 'worst' | 'counts' | 'bests' | 'lastTime' | 'standings'}`;

export const answerFigures = (source: FigureSource): Pick<Handlers, FigureCall> => ({
  'log.course': ({ leadIn, ...query }) => {
    const { since, bars, chart, desk } = query;
    if (leadIn !== true || since === undefined || bars === undefined || chart === undefined)
      return packCourse(source.passes(query));
    const [first] = source.lately({ desk, chart, bars, asOf: since });
    return packCourse(source.passes({ ...query, since: first && localDate(first.at) }));
  },
  'log.sittings': ({ days, ...query }) => {
    const first = days === undefined ? undefined : source.days(query).at(-days)?.date;
    const passes = source.passes({ ...query, since: first ?? query.since });
    return passes.length === 0 ? [] : summariseUnit(passes).sessions;
  },
  'log.changes': (query) => breakingChanges(source.passes(query)),
  'log.worst': async ({ desk, of, latest }) => {
    const worst: (ChangeTally | null)[] = [];
    for (const bars of of) {
      const [first] = breakingChanges(source.passes({ desk, ...bars, latest }));
      worst.push(first && first.broke > 0 ? first : null);
      await setImmediate();
    }
    return worst;
  },
  'log.counts': (asked) => source.counts(asked),
  'log.bests': (asked) => source.bests(asked),
  'log.lastTime': ({ desk }) => lastTimeIn(source, desk),
  'log.standings': async ({ desk, of }) => {
    const standings: UnitStanding[] = [];
    for (const asked of of) {
      standings.push(standingIn(source, desk, asked));
      // A level takes some milliseconds: other calls are answered between two of them.
      await setImmediate();
    }
    return standings;
  },
});

/** Rests on all passes of the bars, of which only so many are read as matter. */
function standingIn(
  source: FigureSource,
  desk: string,
  { chart, bars, due, ...asked }: StandingAsked,
): UnitStanding {
  const passes = source.lately({ desk, chart, bars, asOf: asked.asOf });
  return standingOf({ passes, ...asked, ...(due === undefined ? {} : { due }) });
}

function lastTimeIn(source: FigureSource, desk: string): LastTime | null {
  const [latest] = source.passes({ desk, latest: 1 });
  if (!latest) return null;
  // In another time zone an earlier moment may have borne a later date.
  const near = before(localDate(latest.at), 1);
  const { date, clean, missed } = source.days({ desk, since: near }).at(-1)!;
  const until = before(date, 1);
  const earlier = (since?: IsoDate) => source.days({ desk, since, until }).length > 0;
  const units = source.units({ desk, since: date, until: date });
  return {
    ...{ date, judged: clean + missed, clean },
    // Most logs answer from their last year.
    first: !earlier(before(date, YEAR)) && !earlier(),
    gains: gainsOf(
      units.map(({ chart, unit, beat, fastestQuarters }) => {
        const days = source.days({ desk, chart: chart.id, unit: unit.key, until });
        return {
          ...{ chart: chart.title, unit: unit.name, beat, quarters: fastestQuarters },
          before: days.findLast((day) => day.clean > 0)?.fastestQuarters,
        };
      }),
    ),
  };
}

const YEAR = 366;
const before = (date: IsoDate, days: number): IsoDate => dateOfDay(dayNumber(date) - days);

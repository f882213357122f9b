// Answers what the rooms ask of single units: their course, their sittings, what broke, where they stand.
import { setImmediate } from 'node:timers/promises';
import type { IsoDate } from '../../../core/base/units.ts';
import { packCourse } from '../../../core/log/course.ts';
import { summariseUnit } from '../../../core/log/per-unit.ts';
import type { PassRecord } from '../../../core/model/pass.ts';
import { breakingChanges } from '../../../core/progress/changes.ts';
import { standingOf, type UnitStanding } from '../../../core/progress/standing.ts';
import type { Handlers } from '../../contract/handlers.ts';
import type { DayTally, LogFilter, PassQuery, StandingAsked } from '../../contract/log-queries.ts';
import type { BarsAsked } from './read-log.ts';

/** What figures are made of: settled passes in time order, days with their counts, and how far back to read. */
export interface FigureSource {
  readonly passes: (query: PassQuery) => readonly PassRecord[];
  readonly days: (filter: LogFilter) => readonly DayTally[];
  readonly reach: (asked: BarsAsked & { readonly asOf: IsoDate }) => IsoDate | undefined;
}

type FigureCall = 'log.course' | 'log.sittings' | 'log.changes' | 'log.standings';

export const answerFigures = (source: FigureSource): Pick<Handlers, FigureCall> => ({
  'log.course': ({ leadIn, ...query }) => {
    const { since, bars, chart, desk } = query;
    if (leadIn !== true || since === undefined || bars === undefined || chart === undefined)
      return packCourse(source.passes(query));
    const from = source.reach({ desk, chart, bars, asOf: since });
    return packCourse(source.passes({ ...query, since: from }));
  },
  'log.sittings': ({ days, ...query }) => {
    const first = days === undefined ? undefined : source.days(query).at(-days)?.date;
    const passes = source.passes({ ...query, since: first ?? query.since });
    return passes.length === 0 ? [] : summariseUnit(passes).sessions;
  },
  'log.changes': (query) => breakingChanges(source.passes(query)),
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
  const since = source.reach({ desk, chart, bars, asOf: asked.asOf });
  const passes = source.passes({ desk, chart, bars, since });
  return standingOf({ passes, ...asked, ...(due === undefined ? {} : { due }) });
}

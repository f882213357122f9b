// Answers what the rooms ask of the log: counts, and of single units their course, their sittings, what broke, where they stand.
import { setImmediate } from 'node:timers/promises';
import type { IsoDate } from '../../../core/base/units.ts';
import { dateOfDay, dayNumber, localDate } from '../../../core/log/days.ts';
import { packCourse } from '../../../core/log/course.ts';
import { sittingsOf } from '../../../core/log/sittings.ts';
import { breakingChanges } from '../../../core/progress/changes.ts';
import { gainsOf, type LastTime } from '../../../core/progress/moved.ts';
import type { Handlers } from '../../contract/handlers.ts';
import type { PassQuery } from '../../contract/log-queries.ts';
import type { LogReader } from './read-log.ts';
import type { FoundPasses } from './read-passes.ts';

/** What answers are made of: the log, or whoever adds to it what waits for the disk. */
export interface LogSource extends Omit<LogReader, 'passes' | 'has'> {
  readonly passes: (query: PassQuery) => Omit<FoundPasses, 'changed'>;
}

type Question = Exclude<keyof Handlers & `log.${string}`, 'log.append' | 'log.passes'>;

/** The log's questions of the contract, answered by one source. */
export const answerLog = (source: LogSource): Pick<Handlers, Question> => ({
  'log.units': (filter) => source.units(filter),
  'log.days': (filter) => source.days(filter),
  'log.counts': (asked) => source.counts(asked),
  'log.bests': (asked) => source.bests(asked),
  'log.places': (query) => source.places(query),
  'log.lesson': (query) => source.lesson(query),
  'log.words': ({ desk }) => source.words(desk),
  'log.bars': ({ fingerprints }) => source.bars(fingerprints),
  'log.course': ({ leadIn, ...query }) => {
    const { since, bars, chart, desk } = query;
    if (leadIn !== true || since === undefined || bars === undefined || chart === undefined)
      return packCourse(source.passes(query).passes);
    const [first] = source.lately({ desk, chart, bars, asOf: since });
    return packCourse(source.passes({ ...query, since: first && localDate(first.at) }).passes);
  },
  'log.sittings': ({ days, ...query }) => {
    const first = days === undefined ? undefined : source.days(query).at(-days)?.date;
    return sittingsOf(source.passes({ ...query, since: first ?? query.since }).passes);
  },
  'log.changes': (query) => breakingChanges(source.passes(query).passes),
  'log.worst': ({ desk, of, latest }) =>
    ofEach(of, (bars) => source.worst({ desk, ...bars, latest })),
  'log.lastTime': ({ desk }) => lastTimeIn(source, desk),
  'log.standings': ({ desk, of }) => ofEach(of, (asked) => source.standing(desk, asked)),
});

/** A level takes some milliseconds: other calls are answered between two of them. */
async function ofEach<Asked, Answer>(
  of: readonly Asked[],
  answer: (asked: Asked) => Answer,
): Promise<Answer[]> {
  const answers: Answer[] = [];
  for (const asked of of) {
    answers.push(answer(asked));
    await setImmediate();
  }
  return answers;
}

function lastTimeIn(source: LogSource, desk: string): LastTime | null {
  const [latest] = source.passes({ desk, latest: 1 }).passes;
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

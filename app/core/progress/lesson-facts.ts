// What the log says for the page before a lesson: then against lately, where it breaks, days of practice.
import type { IsoDate, Share } from '../base/units.ts';
import { localDate, type PracticeDay, practiceDays } from '../log/days.ts';
import { tally } from '../log/tally.ts';
import type { LevelPass, PassRecord } from '../model/pass.ts';
import { partBySet } from './as-set.ts';
import type { Assignment } from './assignment.ts';
import { breakingChanges, type ChangeTally } from './changes.ts';
import { type OwnedTempo, ownedTempo } from './owned-tempo.ts';

/** One thing that was set, since the last lesson. */
export interface LineFacts {
  /** The tempo owned on the day of the last lesson. */
  readonly then: OwnedTempo;
  readonly passes: number;
  readonly shareClean?: Share;
}

export interface PlaceFacts extends ChangeTally {
  /** Id of the assignment. */
  readonly assignment: string;
}

export interface LessonFacts {
  /** By id of the assignment. */
  readonly lines: readonly (readonly [assignment: string, facts: LineFacts])[];
  /** At most {@link MOST_PLACES}, most broken first. */
  readonly places: readonly PlaceFacts[];
  /** Every day practised since then, whatever was played. */
  readonly days: readonly PracticeDay[];
}

/** The passes that count for an assignment, settled, in time order. */
export interface CountedPasses {
  readonly assignment: Assignment;
  /** Of the days before the lesson, as far as the tempo then rests on them. */
  readonly before: readonly LevelPass[];
  /** From the day of the lesson on: what was played after it on the same day counts, too. */
  readonly lately: readonly PassRecord[];
}

const MOST_PLACES = 3;
/** One slip is no place that breaks. */
const LEAST_BROKEN = 2;

/** @param since the day of the last lesson */
export const lessonFacts = (
  counted: readonly CountedPasses[],
  days: readonly PracticeDay[],
  since: IsoDate,
): LessonFacts => ({
  lines: counted.map((one) => [one.assignment.id, lineOf(one, since)]),
  places: placesOf(counted),
  days,
});

/** The same from every pass of a player, settled, in time order. */
export function lessonFactsOf(
  passes: readonly PassRecord[],
  assignments: readonly Assignment[],
  since: IsoDate,
): LessonFacts {
  const isBefore = ({ at }: PassRecord): boolean => localDate(at) < since;
  const counted = assignments.map((assignment): CountedPasses => {
    const all = partBySet(assignment, passes).counted;
    return {
      assignment,
      before: all.filter(isBefore),
      lately: all.filter((pass) => !isBefore(pass)),
    };
  });
  const days = practiceDays(passes.filter((pass) => !isBefore(pass)));
  return lessonFacts(counted, days, since);
}

function lineOf({ assignment, before, lately }: CountedPasses, since: IsoDate): LineFacts {
  const { shareClean } = tally(lately);
  return {
    then: ownedTempo(before, assignment.terms.rules.beat, since),
    passes: lately.length,
    ...(shareClean === undefined ? {} : { shareClean }),
  };
}

const placesOf = (counted: readonly CountedPasses[]): readonly PlaceFacts[] =>
  counted
    .flatMap(({ assignment, lately }) =>
      breakingChanges(lately).map((change) => ({ ...change, assignment: assignment.id })),
    )
    .filter(({ broke }) => broke >= LEAST_BROKEN)
    .sort((a, b) => b.atLeast - a.atLeast || b.broke - a.broke)
    .filter(
      (place, i, all) =>
        all.findIndex(({ from, to }) => from === place.from && to === place.to) === i,
    )
    .slice(0, MOST_PLACES);

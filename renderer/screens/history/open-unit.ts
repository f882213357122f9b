// What the History room draws of one unit: its course as filtered, and the course its tempo rests on; where it stands
// follows, since a level takes longer than a drawing.
import { unpackCourse } from '../../../app/core/log/course.ts';
import type { BeatUnit, Bpm, IsoDate } from '../../../app/core/base/units.ts';
import type { BriefPass } from '../../../app/core/model/pass.ts';
import { active, type Assignment, type Student } from '../../../app/core/progress/assignment.ts';
import type { UnitStanding } from '../../../app/core/progress/standing.ts';
import type { UnitTally } from '../../../app/services/contract/contract.ts';
import { today } from '../../page/clock.ts';
import type { narrowedTo } from '../../state/log/filter-choices.ts';
import type { PracticeLog } from '../../state/log/practice-log.svelte.ts';

export interface OpenUnit {
  readonly unit: UnitTally;
  readonly assignment: Assignment | undefined;
  readonly beat: BeatUnit;
  readonly target: Bpm;
  /** What is drawn, in time order. */
  readonly passes: readonly BriefPass[];
  /** The passes of these bars, also those that a filter holds back: a tempo is one figure, whatever is shown. */
  readonly all: readonly BriefPass[];
  /** The question that filters it. */
  readonly asked: Asked;
}

type Asked = ReturnType<typeof narrowedTo> & {
  readonly desk: string;
  readonly chart: string;
  readonly unit: string;
};

/** Asks the log for all that the room shows of a unit. @param filter of passes */
export async function openUnit(
  log: Pick<PracticeLog, 'ask'>,
  person: Student,
  unit: UnitTally,
  filter: ReturnType<typeof narrowedTo>,
): Promise<OpenUnit> {
  const desk = person.id;
  const assignment = active(person.assignments).find(
    (one) => one.chart.id === unit.chart.id && one.unit.key === unit.unit.key,
  );
  const { beat, target } = assignment?.terms.rules ?? unit;
  const music = { chart: unit.chart.id, bars: unit.unit.fingerprint };
  const asked = { ...filter, desk, chart: unit.chart.id, unit: unit.unit.key };
  const [passes, all] = await Promise.all([
    log.ask('log.course', asked),
    log.ask('log.course', { desk, ...music, ...sinceIn(filter), leadIn: true }),
  ]);
  return {
    ...{ unit, assignment, asked, beat, target },
    ...{ passes: unpackCourse(passes), all: unpackCourse(all) },
  };
}

/** As of today, from all of its passes. */
export async function standingOf(
  log: Pick<PracticeLog, 'ask'>,
  { unit, beat, target, asked }: OpenUnit,
): Promise<UnitStanding> {
  const bars = { chart: unit.chart.id, bars: unit.unit.fingerprint };
  const of = [{ ...bars, beat, target, asOf: today() }];
  const [standing] = await log.ask('log.standings', { desk: asked.desk, of });
  return standing!;
}

const sinceIn = ({ since }: { readonly since?: IsoDate }) => (since === undefined ? {} : { since });

// What the History room draws of one unit: its course as filtered, the course its tempo rests on, and where it stands.
import { unpackCourse } from '../../../app/core/log/course.ts';
import type { IsoDate } from '../../../app/core/base/units.ts';
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
  readonly standing: UnitStanding;
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
  const [passes, all, [standing]] = await Promise.all([
    log.ask('log.course', asked),
    log.ask('log.course', { desk, ...music, ...sinceIn(filter), leadIn: true }),
    log.ask('log.standings', { desk, of: [{ ...music, beat, target, asOf: today() }] }),
  ]);
  return {
    ...{ unit, assignment, asked, standing: standing! },
    ...{ passes: unpackCourse(passes), all: unpackCourse(all) },
  };
}

const sinceIn = ({ since }: { readonly since?: IsoDate }) => (since === undefined ? {} : { since });

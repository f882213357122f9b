// Passes by unit and where each unit stands: figures are computed once per log.
import { groupByBars, groupByUnit } from '../../../app/core/log/per-unit.ts';
import { withEntries } from '../../../app/core/log/history.ts';
import type { LogEntry, PassRecord } from '../../../app/core/model/pass.ts';
import { type AsSet, partBySet } from '../../../app/core/progress/as-set.ts';
import type { Assignment } from '../../../app/core/progress/assignment.ts';
import {
  standingOf,
  type StandingQuestion,
  type UnitStanding,
} from '../../../app/core/progress/standing.ts';

type Question = Omit<StandingQuestion, 'passes'>;

/** Passes by unit, and standings by question, of one log. Make a new one when the log changes. */
export class UnitRecords {
  /** Settled, in time order. */
  readonly passes: readonly PassRecord[];
  readonly units: ReadonlyMap<string, readonly PassRecord[]>;
  /** By chart and the music of the bars, whatever they were called when played. */
  readonly #bars: ReadonlyMap<string, readonly PassRecord[]>;
  readonly #parted = new WeakMap<Assignment, AsSet>();
  readonly #standings = new Map<string, UnitStanding>();

  /** @param passes settled, in time order. */
  constructor(passes: readonly PassRecord[]) {
    this.passes = passes;
    this.units = groupByUnit(passes);
    this.#bars = groupByBars(passes);
  }

  /** With new entries on top. */
  with = (entries: readonly LogEntry[]): UnitRecords =>
    new UnitRecords(withEntries(this.passes, entries));

  passesOf = (chart: string, unit: string): readonly PassRecord[] =>
    this.units.get(`${chart}\n${unit}`) ?? [];

  /** Passes of these very bars, also from before they were renamed or moved within the chart. */
  passesOfBars = (chart: string, fingerprint: string): readonly PassRecord[] =>
    this.#bars.get(`${chart}\n${fingerprint}`) ?? [];

  /** Of the unit as it was played under its key. */
  standing = (chart: string, unit: string, question: Question): UnitStanding =>
    this.#once(['unit', chart, unit, question], question, this.passesOf(chart, unit));

  /** What was played of an assignment, parted by whether it is what was set. */
  asSet = (assignment: Assignment): AsSet => {
    const known = this.#parted.get(assignment);
    if (known) return known;
    const parted = partBySet(assignment, this.passes);
    this.#parted.set(assignment, parted);
    return parted;
  };

  /** Of what counts for an assignment: the bars that were set, and those that the teacher accepts. */
  standingAsSet = (assignment: Assignment, question: Question): UnitStanding => {
    const { id, bars, otherBars } = assignment;
    return this.#once(
      ['set', id, bars, otherBars, question],
      question,
      this.asSet(assignment).counted,
    );
  };

  /** Of these very bars. */
  standingOfBars = (chart: string, fingerprint: string, question: Question): UnitStanding =>
    this.#once(
      ['bars', chart, fingerprint, question],
      question,
      this.passesOfBars(chart, fingerprint),
    );

  #once(about: unknown, question: Question, passes: readonly PassRecord[]): UnitStanding {
    const key = JSON.stringify(about);
    const known = this.#standings.get(key);
    if (known) return known;
    const standing = standingOf({ ...question, passes });
    this.#standings.set(key, standing);
    return standing;
  }
}

// Passes by unit and where each unit stands: figures are computed once per log.
import { groupByUnit } from '../../app/core/progress/per-unit.ts';
import type { PassRecord } from '../../app/core/progress/record.ts';
import {
  standingOf,
  type StandingQuestion,
  type UnitStanding,
} from '../../app/core/progress/standing.ts';

/** Passes by unit, and standings by question, of one log. Make a new one when the log changes. */
export class UnitRecords {
  /** Settled, in time order. */
  readonly passes: readonly PassRecord[];
  readonly units: ReadonlyMap<string, readonly PassRecord[]>;
  readonly #standings = new Map<string, UnitStanding>();

  /** @param passes settled, in time order. */
  constructor(passes: readonly PassRecord[]) {
    this.passes = passes;
    this.units = groupByUnit(passes);
  }

  passesOf = (chart: string, unit: string): readonly PassRecord[] =>
    this.units.get(`${chart}\n${unit}`) ?? [];

  standing = (
    chart: string,
    unit: string,
    question: Omit<StandingQuestion, 'passes'>,
  ): UnitStanding => {
    const key = JSON.stringify([chart, unit, question]);
    const known = this.#standings.get(key);
    if (known) return known;
    const standing = standingOf({ ...question, passes: this.passesOf(chart, unit) });
    this.#standings.set(key, standing);
    return standing;
  };
}

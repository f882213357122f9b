// What every kind of unit knows about a chart; `../kinds.ts` is the table of them.
import type { Result } from '../../base/result.ts';
import type { ChartBody } from '../../model/chart.ts';
import type { UnitKind, UnitRef } from '../../model/unit.ts';
import type { UnitContent } from '../bars/unit-of.ts';

export interface KindOfUnit<K extends UnitKind> {
  /** Fails when the chart has no such place; the problem says what is missing and what to do. */
  readonly resolve: (chart: ChartBody, ref: UnitRef<K>) => Result<UnitContent>;
  /** The units of this kind that a chart offers by itself. */
  readonly list: (chart: ChartBody) => readonly UnitRef<K>[];
  /** Every place of the same size where such a unit could stand now. */
  readonly placesLike: (chart: ChartBody, ref: UnitRef<K>) => readonly UnitRef<K>[];
}

/** For kinds that are found again only among those that list themselves. */
export const nowhereElse = (): readonly [] => [];

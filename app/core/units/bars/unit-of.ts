// A unit out of what its kind found in the chart.
import type { ChartBody } from '../../model/chart.ts';
import type { PlayedBar, Unit, UnitRef } from '../../model/unit.ts';
import { fingerprint } from './fingerprint.ts';

/** What a unit holds apart from how it is pointed at. */
export interface UnitContent {
  /** For people, e.g. "Verse, bars 3–6". */
  readonly name: string;
  readonly bars: readonly PlayedBar[];
  readonly lead?: NonNullable<Unit['lead']>;
}

/** The unit with what it takes from its chart. @param content at least one bar */
export const unitOf = (
  { tuning, capo, names }: ChartBody,
  ref: UnitRef,
  key: string,
  { name, bars, lead }: UnitContent,
): Unit => ({
  key,
  ref,
  name,
  bars,
  tempo: bars[0]!.tempo,
  tuning,
  capo,
  fingerprint: fingerprint(bars, lead),
  ...(names && { names }),
  ...(lead && { lead }),
});

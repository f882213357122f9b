// What a click on the neck makes of a shape.
import type { Frets } from '../../../../app/core/model/chart.ts';
import type { Fret, StringNo } from '../../../../app/core/base/units.ts';

/**
 * The string is stopped at the fret clicked, or muted if it already was; a click above the nut opens a
 * string, or mutes an open one. The last sounding string stays: a shape has at least one.
 */
export function placed(frets: Frets, string: StringNo, fret: Fret): Frets {
  const index = 6 - string;
  const next = frets.with(index, frets[index] === fret ? null : fret);
  return next.some((f) => f !== null) ? next : frets;
}

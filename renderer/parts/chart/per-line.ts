// How many bars of a section stand in a line of a drawn chart on a screen, so that nothing in them touches.
import type { Section } from '../../../app/core/model/chart.ts';
import type { DrawnBar } from '../bars/drawn-bars.ts';
import { fitOf } from '../bars/fit.ts';

/** More strokes than this in a bar would touch where four bars stand in a line. */
const DENSE = 8;
/** Chord names narrower than this (of the bar's width, see `fitOf`) are too small to read with four in a line. */
const SMALLEST = 6.5;

interface Drawn {
  readonly bars: readonly DrawnBar[];
  readonly strokes: readonly (readonly unknown[])[];
  readonly leads?: Section['leads'];
}

/** Two or four. A lead has two. */
export function barsPerLine({ bars, strokes, leads = [] }: Drawn): 2 | 4 {
  if (strokes.some(({ length }) => length > DENSE)) return 2;
  if (bars.some(({ chords }) => fitOf(chords) < SMALLEST)) return 2;
  return leads.length > 0 ? 2 : 4;
}

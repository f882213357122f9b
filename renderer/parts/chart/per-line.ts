// How many bars of a section stand in a line of a drawn chart, so that nothing in them touches.
import type { Section } from '../../../app/core/model/chart.ts';
import type { DrawnBar } from '../bars/drawn-bars.ts';
import { fitOf } from '../bars/fit.ts';

/** More strokes than this in a bar would touch where four bars stand in a line. */
const DENSE = 8;
/** Entries of a lead that stay apart in a bar where four bars stand in a line on paper. */
const CROWDED = 8;
/** Chord names narrower than this (of the bar's width, see `fitOf`) are too small to read with four in a line. */
const SMALLEST = 6.5;
/** Signs of a verse under a bar that take two lines at most with four in a line on paper. */
const LONGEST = 44;

interface Drawn {
  readonly bars: readonly DrawnBar[];
  readonly strokes: readonly (readonly unknown[])[];
  readonly leads?: Section['leads'];
}

/** Two or four. */
export function barsPerLine({ bars, strokes, leads = [] }: Drawn, onPaper: boolean): 2 | 4 {
  if (strokes.some(({ length }) => length > DENSE)) return 2;
  if (bars.some(({ chords }) => fitOf(chords) < SMALLEST)) return 2;
  if (onPaper && bars.some(({ sung }) => sung.some(({ length }) => length > LONGEST))) return 2;
  const entries = leads.flatMap(({ parts }) =>
    parts.flatMap((part) => (part.kind === 'written' ? part.bars : [])),
  );
  const crowded = entries.some(({ events }) => events.length > CROWDED);
  return leads.length > 0 && (!onPaper || crowded) ? 2 : 4;
}

// How large the chord names of a bar may be drawn so that none touches the next.
import { symbolWidth } from '../../page/symbol-width.ts';
import type { DrawnChord } from './drawn-bars.ts';

/** One size for all chords of the bar, in hundredths of its width; 99 where there is room. */
export const fitOf = (chords: readonly DrawnChord[]): number =>
  chords.reduce((least, { at, printed }, i) => {
    const room = (chords[i + 1]?.at ?? 1) - at;
    return Math.min(least, (room * 88) / symbolWidth(printed));
  }, 99);

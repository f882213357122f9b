// The bars of a section as they stand on paper, with similes, meters and strums looked up.
import type { Rational } from '../../base/rational.ts';
import { barLength } from '../../rhythm/meter.ts';
import type { Bar, ChordAt, Meter, StrumPattern } from '../../model/chart.ts';

/** One written bar with its simile, meter and strum looked up. `bar` counts from 1. */
export interface WrittenBar {
  readonly bar: number;
  readonly meter: Meter;
  readonly length: Rational;
  readonly pickup: boolean;
  readonly chords: readonly ChordAt[];
  readonly strum?: StrumPattern;
}

/** Similes and meters looked up in the order of writing. The first bar may not be a simile. */
export function writtenBars(
  bars: readonly Bar[],
  start: Meter,
  from = 1,
  before?: WrittenBar,
): WrittenBar[] {
  let meter = start;
  let previous = before;
  return bars.map((bar, i) => {
    meter = bar.meter ?? meter;
    const simile = bar.content.kind === 'simile';
    const strum = bar.strum ?? (simile ? previous?.strum : undefined);
    previous = {
      bar: from + i,
      meter,
      length: bar.pickup ?? barLength(meter),
      pickup: bar.pickup !== undefined,
      chords: bar.content.kind === 'chords' ? bar.content.chords : (previous?.chords ?? []),
      ...(strum && { strum }),
    };
    return previous;
  });
}

// The bars of a section as they stand on paper, with similes, meters and strums looked up.
import { type Rational, add, equals, sum, ZERO } from '../../base/rational.ts';
import { barLength } from '../../rhythm/meter.ts';
import { strumLength } from '../../rhythm/strum.ts';
import type {
  Bar,
  BarWords,
  ChordAt,
  Fermata,
  Meter,
  PaceMark,
  Section,
  StrumPattern,
} from '../../model/chart.ts';
import { unnumbered } from './bar-number.ts';

/** One written bar with its simile, meter and strum looked up. `bar` counts from 1. */
export interface WrittenBar {
  readonly bar: number;
  readonly meter: Meter;
  readonly length: Rational;
  readonly pickup: boolean;
  readonly chords: readonly ChordAt[];
  readonly strum?: StrumPattern;
  /** Number of the bar at which a strum of its own begins, where it has one. */
  readonly strumFrom?: number;
  /** What it is counted as: 0 for a pickup, then 1. */
  readonly number: number;
  /** The stretch of gradual change it lies in. */
  readonly gradual?: Gradual;
  readonly fermata?: Fermata;
  readonly words?: readonly BarWords[];
  readonly remark?: string;
}

/** A gradual change of tempo: how much of its length (quarter notes) is over where the bar starts. */
export interface Gradual {
  readonly mark: Exclude<PaceMark, { kind: 'a-tempo' }>;
  readonly done: Rational;
  readonly total: Rational;
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
  const skip = before || from > 1 ? (before ? before.bar - before.number : 0) : unnumbered(bars);
  const written = bars.map((bar, i): WrittenBar => {
    meter = bar.meter ?? meter;
    const simile = bar.content.kind === 'simile';
    const strum = bar.strum ?? (simile ? previous?.strum : undefined);
    const number = from + i - skip;
    const strumFrom = bar.strum ? number : simile ? previous?.strumFrom : undefined;
    previous = {
      bar: from + i,
      number,
      meter,
      length: bar.pickup ?? barLength(meter),
      pickup: bar.pickup !== undefined,
      chords: bar.content.kind === 'chords' ? bar.content.chords : (previous?.chords ?? []),
      ...(strum && { strum }),
      ...(strumFrom !== undefined && { strumFrom }),
      ...(bar.fermata && { fermata: bar.fermata }),
      ...(bar.words && { words: bar.words }),
      ...(bar.remark !== undefined && { remark: bar.remark }),
    };
    return previous;
  });
  return withGradual(bars, written);
}

/** A gradual change runs from its mark to the bar before the next one, or to the end. */
function withGradual(bars: readonly Bar[], written: WrittenBar[]): WrittenBar[] {
  if (!bars.some((bar) => bar.pace)) return written;
  const out = [...written];
  bars.forEach(({ pace: mark }, first) => {
    if (!mark || mark.kind === 'a-tempo') return;
    const next = bars.findIndex((bar, i) => i > first && bar.pace);
    const end = next < 0 ? bars.length : next;
    const total = sum(written.slice(first, end).map((bar) => bar.length));
    let done = ZERO;
    for (let i = first; i < end; i++) {
      out[i] = { ...written[i]!, gradual: { mark, done, total } };
      done = add(done, written[i]!.length);
    }
  });
  return out;
}

/** A pattern that spans two bars gives each its half; the first bar with a number has the first one. */
export function strumOfBar(written: WrittenBar, section: Section): StrumPattern | undefined {
  const strum = written.strum ?? section.strum;
  if (!strum) return undefined;
  const full = barLength(written.meter);
  if (!equals(strumLength(strum), add(full, full))) return strum;
  const half = strum.cells.length / 2;
  const second = (written.number - (written.strumFrom ?? 1)) % 2 !== 0;
  return { ...strum, cells: second ? strum.cells.slice(half) : strum.cells.slice(0, half) };
}

// Pins and unpins shapes in a chart: for every place of a chord, or for one place.
import type { ChartBody, ChordAt, Frets, Section } from '../../../../app/core/model/chart.ts';
import { toAscii } from '../../../../app/core/harmony/notes.ts';
import { equals, type Rational } from '../../../../app/core/base/rational.ts';

/** One chord as it is written: bar from 1, position in quarter notes from its start. */
export interface ChordPlace {
  readonly section: string;
  readonly bar: number;
  readonly at: Rational;
}

const withoutPin = ({ shape: _shape, kept: _kept, ...chord }: ChordAt): ChordAt => chord;

const sameSymbol = (a: string, b: string): boolean => toAscii(a) === toAscii(b);

/** Every place of a symbol gets the shape: pins of that symbol at single places go. */
export function pinEverywhere(chart: ChartBody, symbol: string, frets: Frets): ChartBody {
  const free = unpin(chart, symbol);
  return { ...free, shapes: [...free.shapes, { symbol, frets }] };
}

/** One place gets a shape of its own. */
export function pinHere(chart: ChartBody, place: ChordPlace, frets: Frets): ChartBody {
  return withChord(chart, place, (chord) => ({ ...chord, shape: frets }));
}

/** Takes the chart's shape of a symbol away, and every pin of that symbol at single places. */
export function unpin(chart: ChartBody, symbol: string): ChartBody {
  const shapes = chart.shapes.filter((shape) => !sameSymbol(shape.symbol, symbol));
  const free = (chord: ChordAt): ChordAt =>
    sameSymbol(chord.symbol, symbol) ? withoutPin(chord) : chord;
  return { ...chart, shapes, sections: chart.sections.map((s) => mapChords(s, () => true, free)) };
}

/** Is a shape pinned to the symbol anywhere in the chart? */
export const isPinned = (chart: ChartBody, symbol: string): boolean =>
  chart.shapes.some((shape) => sameSymbol(shape.symbol, symbol)) ||
  chart.sections.some((section) =>
    section.bars.some(
      ({ content }) =>
        content.kind === 'chords' &&
        content.chords.some((chord) => chord.shape && sameSymbol(chord.symbol, symbol)),
    ),
  );

function withChord(
  chart: ChartBody,
  place: ChordPlace,
  change: (chord: ChordAt) => ChordAt,
): ChartBody {
  const sections = chart.sections.map((section) =>
    section.name === place.section
      ? mapChords(
          section,
          (bar) => bar === place.bar,
          (chord) => (equals(chord.at, place.at) ? change(chord) : chord),
        )
      : section,
  );
  return { ...chart, sections };
}

const mapChords = (
  section: Section,
  inBar: (bar: number) => boolean,
  change: (chord: ChordAt) => ChordAt,
): Section => ({
  ...section,
  bars: section.bars.map((bar, i) =>
    bar.content.kind === 'chords' && inBar(i + 1)
      ? { ...bar, content: { kind: 'chords', chords: bar.content.chords.map(change) } }
      : bar,
  ),
});

// The shapes a player holds in a chart: those that are pinned, and for hands without a whole barre yet the easier ones.
import { easierShape } from '../../fretboard/taught.ts';
import { toAscii } from '../../harmony/notes.ts';
import { chordOf } from '../../harmony/read.ts';
import type { ChartBody, ChartShape } from '../../model/chart.ts';

/** How a player wants barred chords held: as they are taught, or easier where an easier shape is taught. */
export const BARRES = ['taught', 'fewest'] as const;
export type Barres = (typeof BARRES)[number];

/**
 * The chart's own shapes; with the fewest barres also the easier shape of each chord that has one. A chord with a
 * pin anywhere in the chart keeps what was pinned.
 */
export function shapesHeld(
  chart: Pick<ChartBody, 'shapes' | 'sections' | 'form' | 'tuning'>,
  barres: Barres,
): readonly ChartShape[] {
  return barres === 'taught' ? chart.shapes : [...chart.shapes, ...easierShapes(chart)];
}

function easierShapes(
  chart: Pick<ChartBody, 'shapes' | 'sections' | 'form' | 'tuning'>,
): ChartShape[] {
  const written = [
    ...chart.sections.flatMap(({ bars }) => bars),
    ...chart.form.flatMap(({ ending }) => ending?.bars ?? []),
  ].flatMap(({ content }) => (content.kind === 'chords' ? content.chords : []));
  const pinned = new Set([
    ...chart.shapes.map(({ symbol }) => toAscii(symbol)),
    ...written.filter(({ shape }) => shape).map(({ symbol }) => toAscii(symbol)),
  ]);
  const symbols = new Set(written.map(({ symbol }) => symbol));
  return [...symbols].flatMap((symbol): ChartShape[] => {
    const chord = chordOf(symbol);
    if (chord.kind !== 'chord' || pinned.has(toAscii(symbol))) return [];
    const shape = easierShape(chord, chart.tuning);
    return shape ? [{ symbol, frets: shape.frets }] : [];
  });
}

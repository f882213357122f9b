// How many bars stand in a line on a screen: two where something would touch or be too small to read.
import { describe, expect, it } from 'vitest';
import { unwrap } from '../../../../app/core/base/result.ts';
import { readChartText } from '../../../../app/core/chart/notation/chart-text.ts';
import { drawnSection } from '../../../../renderer/parts/bars/drawn-bars.ts';
import { barsPerLine } from '../../../../renderer/parts/chart/per-line.ts';
import { sectionStrokes } from '../../../../renderer/parts/strum/drawn-strokes.ts';

function perLine(lines: string): number {
  const text = `title: T\ntempo: 90\n\n[Verse]\n${lines}\n`;
  const chart = unwrap(readChartText(text, 't'));
  const [section] = chart.sections;
  const bars = drawnSection(section!, chart);
  const strokes = sectionStrokes(chart, section!);
  return barsPerLine({ bars, strokes, leads: section!.leads });
}

describe('bars in a line', () => {
  it.each([
    ['plain chords', '| G | C D |', 4],
    ['four short names in a bar', '| G D Em C |', 4],
    ['four long names in a bar', '| Ebmaj7 Cm7b5 Abmaj9 Bb13 |', 2],
    ['a long name on the last beat', '| G / / F#m7b5/E |', 2],
    ['eight strokes', 'strum: eighths DUDUDUDU\n| G |', 4],
    ['sixteen strokes', 'strum: sixteenths DUDUDUDUDUDUDUDU\n| G |', 2],
    ['a lead', '| G |\nline: Hook, bar 1\npart Guitar: | 4 3/7 3/5 2/5 r |', 2],
  ])('%s', (_, lines, expected) => {
    expect(perLine(lines)).toBe(expected);
  });
});

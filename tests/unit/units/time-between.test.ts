// How much time the music gives for a change, from the last stroke of one chord to the first of the next.
import { expect, test } from 'vitest';
import type { Bar, Chart } from '../../../app/core/model/chart.ts';
import { parseStrum } from '../../../app/core/rhythm/strum.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { handsFor } from '../../../app/core/units/hands/hardest.ts';
import { chordSteps } from '../../../app/core/units/hands/time-between.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';
import { rational } from '../../../app/core/base/rational.ts';
import { unwrap } from '../../../app/core/base/result.ts';

const bar = (...symbols: string[]): Bar => ({
  content: {
    kind: 'chords',
    chords: symbols.map((symbol, i) => ({ at: rational(i * 4, symbols.length), symbol })),
  },
});

function unit(bars: readonly Bar[], strum?: string) {
  const chart: Chart = {
    id: 'demo',
    title: 'Demo',
    tempo: { bpm: 60, beat: 'quarter' },
    meter: { numerator: 4, unit: 4, grouping: [1, 1, 1, 1] },
    feel: { kind: 'straight' },
    capo: 0,
    tuning: STANDARD,
    shapes: [],
    sections: [{ name: 'Verse', bars, ...(strum && { strum: unwrap(parseStrum(strum)) }) }],
    form: [{ section: 'Verse', times: 1 }],
  };
  return unwrap(resolveUnit(chart, { kind: 'section', section: 'Verse' }));
}
const gaps = (u: ReturnType<typeof unit>, bpm: number) =>
  chordSteps(u, bpm).map((step) => step.gap);

test('without a pattern each beat is struck: one beat is left for the change', () => {
  expect(gaps(unit([bar('G'), bar('C')]), 60)).toEqual([undefined, 1]);
  expect(gaps(unit([bar('G'), bar('C')]), 120)).toEqual([undefined, 0.5]);
});

test('eighths leave an eighth: 353 ms at 85 bpm', () => {
  const [, gap] = gaps(unit([bar('G'), bar('C')], 'eighths DU DU DU DU'), 85);
  expect(gap).toBeCloseTo(60 / 85 / 2, 9);
  expect(Math.round(gap! * 1000)).toBe(353);
});

test('a last stroke that rings on leaves more, and strokes on muted strings count as free', () => {
  expect(gaps(unit([bar('G'), bar('C')], 'eighths D- D- D- --'), 60)).toEqual([undefined, 2]);
  expect(gaps(unit([bar('G'), bar('C')], 'eighths D- D- D- Dx-'), 60)).toEqual([undefined, 2]);
});

test('the new chord has time until its first stroke', () =>
  expect(gaps(unit([bar('G'), bar('C')], 'eighths -- D- D- D-'), 60)).toEqual([undefined, 2]));

test('two chords in a bar', () =>
  expect(gaps(unit([bar('G', 'D'), bar('C')]), 60)).toEqual([undefined, 1, 1]));

test('the chart’s own shape for a symbol is a pin wherever that symbol stands', () => {
  const shape = { symbol: 'G', frets: [3, 5, 5, 4, 3, 3] };
  const [first, second] = chordSteps(unit([bar('G'), bar('C')]), 60, [shape]);
  expect(first!.pin).toEqual(shape.frets);
  expect(second!.pin).toBeUndefined();
});

test('hands for a unit: shapes, and the changes hardest first', () => {
  const { path, hardest } = handsFor(unit([bar('C'), bar('F', 'C')]), 120);
  expect(path.steps).toHaveLength(3);
  expect(hardest.map((t) => `${t.from} ${t.to} ${t.gap}`)).toEqual(['C F 0.5', 'F C 0.5']);
});

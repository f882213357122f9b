// Strokes under a bar: where they are written, where they sound, and how they are said.
import { expect, it } from 'vitest';
import { parseChart } from '../../../../app/core/chart/notation/parse.ts';
import { resolveUnit } from '../../../../app/core/units/resolve.ts';
import { unwrap } from '../../../../app/core/base/result.ts';
import {
  drawnStrokes,
  spokenStrokes,
  strokeAt,
} from '../../../../renderer/parts/strum/drawn-strokes.ts';

const strokes = (strum: string, feel = 'straight') => {
  const text = `title: T\ntempo: q = 90\nmeter: 4/4\nfeel: ${feel}\n\n[A]\nstrum: ${strum}\n| G |\n`;
  const chart = { id: 'c', ...unwrap(parseChart(text)) };
  return drawnStrokes(unwrap(resolveUnit(chart, { kind: 'section', section: 'A' })).bars[0]!);
};

it('stand where they are written and sound where the swing puts them', () => {
  const swung = strokes('eighths DU D- D- D-', 'swing 8 2:1');
  expect(swung[1]).toMatchObject({ at: 1 / 8, kind: 'up' });
  expect(swung[1]!.sounds).toBeCloseTo(1 / 6, 12);
});

it('the stroke that sounds is the last one begun', () => {
  const even = strokes('eighths D- D- D- D-');
  expect([0, 0.24, 0.25, 0.99].map((share) => strokeAt(even, share))).toEqual([0, 0, 1, 3]);
});

it('says down, up, accents, muted strokes and rests', () => {
  expect(spokenStrokes(strokes('eighths D>U Dx- r- DU'))).toBe(
    'down accented, up, down muted, rest, down, up',
  );
});

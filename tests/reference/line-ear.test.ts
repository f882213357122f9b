// The line ear against sampled guitars: Debian's fluid-soundfont-gm rendered by fluidsynth, bent along known
// curves. Truth is exact by construction. A small part of the held-out set; `npm run bench` runs all of it.
import { existsSync } from 'node:fs';
import { expect, it } from 'vitest';
import { SOUND_FONT } from '../bench/ear-set/bank.ts';
import { HELD_OUT_LINES, lineFigures } from '../bench/line-set/figures.ts';
import { quantile } from '../bench/bench.ts';
import { needs } from '../support/needs.ts';

const needsSounds = needs(
  existsSync(SOUND_FONT),
  'Debian’s fluid-soundfont-gm is not installed here',
);

it('judges clean and jazz notes as the goals ask', needsSounds, () => {
  const figures = lineFigures({
    ...HELD_OUT_LINES,
    timbres: ['clean', 'jazz'],
    levels: ['room'],
    seeds: HELD_OUT_LINES.seeds.slice(0, 2),
  });
  expect(figures.accepted.share).toBeGreaterThanOrEqual(0.98);
  expect(figures.caught.share).toBeGreaterThanOrEqual(0.95);
  expect(quantile(figures.bends.map(Math.abs), 0.5)).toBeLessThanOrEqual(10);
});

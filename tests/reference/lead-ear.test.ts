// The line ear against sampled guitars: Debian's fluid-soundfont-gm rendered by fluidsynth, bent along known
// curves. Truth is exact by construction. Other guitars and rooms are in `npm run bench`.
import { existsSync } from 'node:fs';
import { expect, it } from 'vitest';
import { fileURLToPath } from 'node:url';
import { openBank, SOUND_FONT } from '../bench/ear-set/bank.ts';
import { lineFigures } from '../bench/lead-set/figures.ts';
import { quantile } from '../bench/bench.ts';
import { needs } from '../support/needs.ts';

const CACHE = fileURLToPath(new URL('../../.cache/lead-set', import.meta.url));
const needsSounds = needs(
  existsSync(SOUND_FONT),
  'Debian’s fluid-soundfont-gm is not installed here',
);

it('judges clean and jazz notes as the goals ask', needsSounds, () => {
  const figures = lineFigures(
    (['clean', 'jazz'] as const).flatMap((timbre) =>
      [5001, 5002].map((seed) => ({
        ...{ seed, room: 'lounge' as const },
        bank: () => openBank(timbre, CACHE),
      })),
    ),
  );
  expect(figures.accepted.share).toBeGreaterThanOrEqual(0.98);
  expect(figures.caught.share).toBeGreaterThanOrEqual(0.95);
  expect(quantile(figures.bends.map(Math.abs), 0.5)).toBeLessThanOrEqual(10);
});

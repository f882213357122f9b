// How loud the band plays where the chart does not say: quieter verses, a louder chorus, a lift at the end.
import type { Gain } from '../base/units.ts';
import { type BandLevel, BAND_LEVELS } from '../model/band.ts';
import type { BandBar } from './bars.ts';

const GAIN: Readonly<Record<BandLevel, Gain>> = {
  off: 0,
  soft: 0.62,
  medium: 0.8,
  loud: 1,
};

/** What sections of these names usually do (common practice, no source); others are medium. */
const BY_NAME: readonly (readonly [RegExp, BandLevel])[] = [
  [/chorus|refrain|hook/i, 'loud'],
  [/intro|outro|coda|interlude|break/i, 'soft'],
];

/** A section played three times or more is a step louder the last time. */
export function levelOfBar(bar: BandBar, bars: readonly BandBar[]): BandLevel {
  if (bar.words.level) return bar.words.level;
  const { section } = bar.played;
  const usual = BY_NAME.find(([name]) => name.test(section))?.[1] ?? 'medium';
  const runs = [...new Set(bars.filter((b) => b.played.section === section).map((b) => b.run))];
  const last = runs.length >= 3 && bar.run === runs.at(-1);
  return last
    ? BAND_LEVELS[Math.min(BAND_LEVELS.length - 1, BAND_LEVELS.indexOf(usual) + 1)]!
    : usual;
}

export const gainOf = (level: BandLevel): Gain => GAIN[level];

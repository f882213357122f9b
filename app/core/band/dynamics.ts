// How loud the band plays where the chart does not say: quieter verses, a louder chorus, a lift at the end.
import type { Gain } from '../base/units.ts';
import { type BandLevel, BAND_LEVELS } from '../model/band.ts';
import type { SectionRole } from '../model/unit.ts';
import type { BandBar } from './bars.ts';

const GAIN: Readonly<Record<BandLevel, Gain>> = {
  off: 0,
  soft: 0.62,
  medium: 0.8,
  loud: 1,
};

/** What a section usually does by what it is in the song (common practice, no source); others are medium. */
const BY_ROLE: Readonly<Record<SectionRole, BandLevel>> = { chorus: 'loud', edge: 'soft' };

/** A section played three times or more is a step louder the last time. */
export function levelOfBar(bar: BandBar, bars: readonly BandBar[]): BandLevel {
  if (bar.words.level) return bar.words.level;
  const { role, section } = bar.played;
  const usual = role ? BY_ROLE[role] : 'medium';
  const runs = [...new Set(bars.filter((b) => b.played.section === section).map((b) => b.run))];
  const last = runs.length >= 3 && bar.run === runs.at(-1);
  return last
    ? BAND_LEVELS[Math.min(BAND_LEVELS.length - 1, BAND_LEVELS.indexOf(usual) + 1)]!
    : usual;
}

/** How loud this level is mixed, as a factor of the samples. */
export const gainOf = (level: BandLevel): Gain => GAIN[level];

// Small units and laps for the tests of the band.
import type { BandWords } from '../../../app/core/model/band.ts';
import type { PlayedBar, Unit } from '../../../app/core/model/unit.ts';
import { bandOf, type BandOptions } from '../../../app/core/band/band.ts';
import type { DrumHit, DrumVoice } from '../../../app/core/band/model.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import type { LapOptions } from '../../../app/core/timeline/model.ts';
import { PLAIN } from '../timeline/examples.ts';

/** 60 bpm of the counted note, no count-in, a rest bar: a beat is a second and nothing closes. */
const SECONDS: LapOptions = { ...PLAIN, countIn: 'none', restBars: 1 };

export function bandAt(
  unit: Unit,
  { bpm = 60, lap = SECONDS, ...options }: BandOptions & { bpm?: number; lap?: LapOptions } = {},
) {
  const built = buildLap(unit, bpm, lap);
  return { lap: built, ...bandOf(unit, built, options) };
}

export const withWords = (unit: Unit, band: BandWords): Unit => ({
  ...unit,
  bars: unit.bars.map((bar) => ({ ...bar, band })),
});

export const changed = (
  unit: Unit,
  change: (bar: PlayedBar, i: number) => Partial<PlayedBar>,
): Unit => ({
  ...unit,
  bars: unit.bars.map((bar, i) => ({ ...bar, ...change(bar, i) })),
});

/** When a drum is struck, in seconds. */
export const timesOf = (drums: readonly DrumHit[], ...voices: readonly DrumVoice[]): number[] =>
  drums.filter((hit) => voices.includes(hit.voice)).map((hit) => round(hit.seconds));

export const round = (seconds: number): number => Math.round(seconds * 1e6) / 1e6;

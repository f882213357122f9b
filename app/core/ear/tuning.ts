// How far the guitar lies from A4 = 440 Hz, read from the spectra of its strokes.
import type { Cents } from '../base/units.ts';

/** Weighted points on the circle of one semitone; a sum of them points at the deviation they share. */
export interface TuningEvidence {
  readonly x: number;
  readonly y: number;
  readonly weight: number;
}

export const NO_TUNING: TuningEvidence = { x: 0, y: 0, weight: 0 };

const LOWEST_HZ = 75;
const HIGHEST_HZ = 1400;
/** Peaks below this share of the loudest are not asked. */
const LEAST_PEAK = 0.05;

/**
 * Adds the spectral peaks of one stroke. `binHz` is the distance of two magnitudes. The frequency of a peak is
 * that of the parabola through the logarithms of its three highest magnitudes.
 */
export function hearTuning(
  so: TuningEvidence,
  magnitudes: Float32Array,
  binHz: number,
): TuningEvidence {
  const from = Math.ceil(LOWEST_HZ / binHz);
  const to = Math.floor(HIGHEST_HZ / binHz);
  const loudest = magnitudes.subarray(from, to).reduce((most, m) => Math.max(most, m), 1e-9);
  let { x, y, weight } = so;
  for (let k = from; k < to; k++) {
    const [a, b, c] = [magnitudes[k - 1]!, magnitudes[k]!, magnitudes[k + 1]!];
    if (b < LEAST_PEAK * loudest || b < a || b <= c) continue;
    const share = b / loudest;
    const angle = 2 * Math.PI * 12 * Math.log2(((k + summit(a, b, c)) * binHz) / 440);
    x += share * Math.cos(angle);
    y += share * Math.sin(angle);
    weight += share;
  }
  return { x, y, weight };
}

/** −50 to 50 cents; 0 while nothing was heard. Beyond 50 the nearest semitone is another one. */
export const tuningOf = ({ x, y, weight }: TuningEvidence): Cents =>
  weight === 0 ? 0 : (Math.atan2(y, x) / (2 * Math.PI)) * 100;

function summit(a: number, b: number, c: number): number {
  const [la, lb, lc] = [Math.log(a + 1e-12), Math.log(b + 1e-12), Math.log(c + 1e-12)];
  const bend = la - 2 * lb + lc;
  return bend === 0 ? 0 : Math.max(-0.5, Math.min(0.5, (0.5 * (la - lc)) / bend));
}

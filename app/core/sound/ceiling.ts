// The −6 dBFS ceiling: a fixed curve without memory, so it can neither be outrun nor delay a click.
import type { Gain } from '../base/units.ts';

/** Nothing leaves the program above this sample peak: −6.02 dBFS. */
export const CEILING: Gain = 0.5;

/** Up to here the curve is a straight line and changes nothing (−9.1 dBFS). */
export const KNEE: Gain = 0.35;

/**
 * One sample through the ceiling: untouched up to the knee, then bent smoothly (same slope at the knee)
 * toward {@link CEILING}, which no input reaches. Inputs beyond ±1 count as ±1; NaN becomes silence.
 */
export function underCeiling(x: number): number {
  // Nearly every sample lies here.
  if (x <= KNEE && x >= -KNEE) return x;
  if (Number.isNaN(x)) return 0;
  const size = Math.min(1, Math.abs(x));
  const room = CEILING - KNEE;
  return Math.sign(x) * (KNEE + room * (1 - Math.exp(-(size - KNEE) / room)));
}

/**
 * The same as a table over −1…1 for a WaveShaperNode, which interpolates between points and holds the
 * ends: the guarantee comes from the table, whatever is fed in. @throws RangeError unless `points` is odd, so that 0 stays 0, and 3 or more.
 */
export function ceilingCurve(points = 8193): Float32Array<ArrayBuffer> {
  if (!Number.isInteger(points) || points < 3 || points % 2 === 0) {
    throw new RangeError(`ceilingCurve: ${points} points; an odd number from 3 is needed`);
  }
  const half = (points - 1) / 2;
  return Float32Array.from({ length: points }, (_, i) => underCeiling((i - half) / half));
}

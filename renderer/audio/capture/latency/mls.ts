// The test signal of the round trip: a maximum length sequence, which is like nothing but itself.
import type { Samples } from '../../../../app/core/base/units.ts';

/** 2^15 − 1 samples, 0.68 s at 48 kHz: serves for round trips (WAC 2025, doi 10.5281/zenodo.17642262). */
const ORDER = 15;

/**
 * One period of +1 and −1 from a shift register of 15 bits with the feedback x¹⁵ + x¹⁴ + 1, which is
 * primitive (computable: the register comes back to its start after 2^15 − 1 steps and not before).
 */
export function maximumLengthSequence(): Float32Array<ArrayBuffer> {
  const length: Samples = 2 ** ORDER - 1;
  const out = new Float32Array(length);
  let register = 1;
  for (let i = 0; i < length; i++) {
    out[i] = register & 1 ? 1 : -1;
    const fed = (register ^ (register >> 1)) & 1;
    register = (register >> 1) | (fed << (ORDER - 1));
  }
  return out;
}

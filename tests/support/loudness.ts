// Loudness as ITU-R BS.1770 defines it for one channel: the K-weighted mean square, in LKFS.
// The coefficients of the two filters are the standard's own for 48 kHz (from memory; the test holds them
// against the standard's calibration, 997 Hz at full scale = −3.01 LKFS, and against ffmpeg's ebur128).

export const LOUDNESS_RATE = 48_000;
/** The windows of the standard and of EBU R 128. */
export const MOMENTARY = 0.4;
export const SHORT_TERM = 3;

const SHELF = {
  b: [1.53512485958697, -2.69169618940638, 1.19839281085285],
  a: [-1.69065929318241, 0.73248077421585],
} as const;
const HIGH_PASS = { b: [1, -2, 1], a: [-1.99004745483398, 0.99007225036621] } as const;

interface Biquad {
  readonly b: readonly [number, number, number];
  readonly a: readonly [number, number];
}

function filtered(input: ArrayLike<number>, { b, a }: Biquad): Float64Array {
  const out = new Float64Array(input.length);
  for (let i = 0; i < input.length; i++) {
    const past = (list: ArrayLike<number>, k: number) => (i >= k ? list[i - k]! : 0);
    out[i] =
      b[0] * input[i]! +
      b[1] * past(input, 1) +
      b[2] * past(input, 2) -
      a[0] * past(out, 1) -
      a[1] * past(out, 2);
  }
  return out;
}

/** Loudest stretch of `window` seconds, in LKFS; silence before and after the sound counts as part of it. */
export function loudest(samples: Float32Array, window: number): number {
  const size = Math.round(window * LOUDNESS_RATE);
  const padded = new Float32Array(samples.length + size);
  padded.set(samples);
  const weighted = filtered(filtered(padded, SHELF), HIGH_PASS);
  let sum = 0;
  let most = 0;
  for (let i = 0; i < weighted.length; i++) {
    sum += weighted[i]! ** 2;
    if (i >= size) sum -= weighted[i - size]! ** 2;
    most = Math.max(most, sum / size);
  }
  return -0.691 + 10 * Math.log10(most);
}

// Power spectra beside the sum that defines them.
import { describe, expect, it } from 'vitest';
import { powerSpectrum } from '../../../app/core/ear/spectra.ts';

/** The discrete Fourier transform by its definition, of a frame under a Hann window. */
function bySum(samples: Float32Array, from: number, width: number, size: number): number[] {
  return Array.from({ length: size / 2 + 1 }, (_, line) => {
    let re = 0;
    let im = 0;
    for (let i = 0; i < width; i++) {
      const hann = (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / width)) / (width / 2);
      const x = hann * (samples[from + i] ?? 0);
      re += x * Math.cos((2 * Math.PI * line * i) / size);
      im -= x * Math.sin((2 * Math.PI * line * i) / size);
    }
    return re * re + im * im;
  });
}

/** Tones and a slow drift, none of them on a line. */
const SAMPLES = Float32Array.from(
  { length: 300 },
  (_, i) => Math.sin(0.31 * i) + 0.4 * Math.cos(1.7 * i + 1) + 0.001 * i,
);

describe('a power spectrum is what the sum says', () => {
  it.each([
    { width: 64, size: 64, from: 20 },
    { width: 64, size: 128, from: 20 },
    { width: 128, size: 256, from: -50 },
    { width: 128, size: 128, from: 250 },
  ])('$width samples from $from, $size lines', ({ width, size, from }) => {
    const powers = powerSpectrum(width, size)(SAMPLES, from);
    bySum(SAMPLES, from, width, size).forEach((power, line) => {
      expect(powers[line]).toBeCloseTo(power, 12);
    });
  });

  it('a sine of amplitude 1 has power 1/4 at its line', () => {
    const sine = Float32Array.from({ length: 64 }, (_, i) => Math.sin((2 * Math.PI * 8 * i) / 64));
    expect(powerSpectrum(64, 64)(sine, 0)[8]).toBeCloseTo(1 / 4, 6);
  });
});

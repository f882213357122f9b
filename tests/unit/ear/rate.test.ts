// The resampler keeps a tone a tone, in time and in size, whatever the rate and however the blocks fall.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { EAR_RATE, resampled, resampler } from '../../../app/core/ear/rate.ts';
import { tone } from './sounds.ts';

const largest = (x: Float32Array) => x.reduce((most, v) => Math.max(most, Math.abs(v)), 0);

describe('resampled', () => {
  it.each([8_000, 22_050, 44_100, 48_000, 96_000, 44_056])(
    'moves a 1 kHz sine from %i Hz without shift or loss',
    (rate) => {
      const wanted = tone(1000, 0.5, EAR_RATE);
      const got = resampled(tone(1000, 0.5, rate), rate);
      const middle = wanted.subarray(1000, 7000).map((v, i) => v - got[i + 1000]!);
      // −70 dB; the filter's ripple.
      expect(largest(middle)).toBeLessThan(3e-4);
    },
  );

  it('keeps out what lies above its own Nyquist frequency', () => {
    const got = resampled(tone(15_000, 0.5, 48_000), 48_000);
    expect(largest(got.subarray(1000, 7000))).toBeLessThan(0.01);
  });

  it('refuses a rate that no microphone has', () => {
    expect(() => resampler(4_000)).toThrow(/4000 Hz is not a sample rate from 8,000 to 192,000/);
  });
});

describe('resampler', () => {
  it('gives the same samples however the sound is cut', () => {
    const sound = tone(440, 0.1, 44_100);
    const whole = resampled(sound, 44_100);
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 1, max: 900 }), { maxLength: 8 }), (sizes) => {
        const machine = resampler(44_100);
        const parts: number[] = [];
        let at = 0;
        for (const size of [...sizes, sound.length]) {
          parts.push(...machine.push(sound.subarray(at, at + size)));
          at += size;
        }
        parts.push(...machine.push(new Float32Array(machine.delay)));
        return parts.length === whole.length && parts.every((v, i) => v === whole[i]);
      }),
      { numRuns: 20 },
    );
  });
});

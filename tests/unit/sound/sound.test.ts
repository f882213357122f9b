// Click voices, the ceiling, and which voice wins when events share a moment.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CEILING, ceilingCurve, KNEE, underCeiling } from '../../../app/core/sound/ceiling.ts';
import { hitsOf } from '../../../app/core/sound/hits.ts';
import { renderVoice } from '../../../app/core/sound/voices.ts';
import { CLICK_VOICES } from '../../../app/core/timeline/click-voices.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { emptyBars, PLAIN, unitOf } from '../timeline/examples.ts';

describe('click voices', () => {
  it.each(CLICK_VOICES)('%s: peak 1, sounds from the first sample, ends in silence', (voice) => {
    for (const rate of [44_100, 48_000]) {
      const samples = renderVoice(voice, rate);
      const peak = samples.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
      expect(peak).toBeCloseTo(1, 6);
      expect(Math.abs(samples[0]!)).toBeGreaterThan(1e-3);
      expect(Math.abs(samples.at(-1)!)).toBeLessThan(1e-3);
    }
  });

  it('tells the voices apart: no two have their strongest partial within a fourth (4:3)', () => {
    const tones = CLICK_VOICES.map((voice) => strongestTone(renderVoice(voice, 48_000)));
    const sorted = tones.toSorted((a, b) => a - b);
    sorted.slice(1).forEach((tone, i) => expect(tone / sorted[i]!).toBeGreaterThan(1.3));
  });

  it('refuses a sample rate that is none', () => {
    expect(() => renderVoice('bar', Number.NaN)).toThrow('NaN Hz is not a sample rate');
  });
});

/** By trying every 4 Hz: the frequency with the largest discrete Fourier sum. */
function strongestTone(samples: Float32Array): number {
  let best = { hertz: 0, size: 0 };
  for (let hertz = 200; hertz < 9_000; hertz += 4) {
    let re = 0;
    let im = 0;
    samples.forEach((x, i) => {
      const phase = (2 * Math.PI * hertz * i) / 48_000;
      re += x * Math.cos(phase);
      im += x * Math.sin(phase);
    });
    const size = Math.hypot(re, im);
    if (size > best.size) best = { hertz, size };
  }
  return best.hertz;
}

describe('the ceiling', () => {
  // −6 dBFS is 10^(−6/20) = 0.5012 of full scale (definition of the decibel).
  const MINUS_6_DB = 10 ** (-6 / 20);

  it('never lets a sample above −6 dBFS, whatever comes in', () => {
    fc.assert(
      fc.property(fc.double(), (x) => {
        expect(Math.abs(underCeiling(x))).toBeLessThanOrEqual(MINUS_6_DB);
      }),
    );
    expect(Math.max(...ceilingCurve())).toBeLessThanOrEqual(MINUS_6_DB);
    expect(CEILING).toBeLessThanOrEqual(MINUS_6_DB);
  });

  it('leaves everything up to the knee as it is', () => {
    for (const x of [0, 1e-6, -0.1, KNEE, -KNEE]) expect(underCeiling(x)).toBe(x);
  });

  it('is odd and never falls', () => {
    const range = fc.double({ min: 0, max: 2, noNaN: true });
    fc.assert(
      fc.property(range, range, (a, b) => {
        expect(underCeiling(-a)).toBeCloseTo(-underCeiling(a), 15);
        if (a < b) expect(underCeiling(a)).toBeLessThanOrEqual(underCeiling(b));
      }),
    );
  });
});

describe('when events share a moment', () => {
  const voices = (options: Partial<typeof PLAIN>, chords: [string, number][]) => {
    const unit = unitOf([{ chords }, ...emptyBars(1)]);
    const lap = buildLap(unit, 60, { ...PLAIN, countIn: 'none', ...options });
    return hitsOf(lap).map((hit) => `${hit.seconds} ${hit.voice}`);
  };

  it('a change on a bar start sounds over the bar, which is still told', () => {
    expect(voices({}, [['G', 0]]).slice(0, 3)).toEqual(['0 bar', '0 change', '1 beat']);
  });

  it('a change takes the place of a beat, a cue that of a beat', () => {
    const chords: [string, number][] = [['G', 0], ['C', 3]]; // prettier-ignore
    const heard = voices({ cueBeats: 1 }, chords);
    expect(heard.slice(0, 5)).toEqual(['0 bar', '0 change', '1 beat', '2 cue', '3 change']);
  });

  it('an unmarked change leaves the beat as it was', () => {
    expect(voices({ markChanges: false }, [['G', 2]]).slice(0, 3)).toEqual([
      '0 bar',
      '1 beat',
      '2 beat',
    ]);
  });

  it('never sounds more than two voices at once', () => {
    const heard = voices({ cueBeats: 2, subdivision: 4 }, [
      ['G', 0],
      ['C', 2],
      ['D', 3],
    ]);
    const perMoment = Map.groupBy(heard, (line) => line.split(' ')[0]);
    for (const together of perMoment.values()) expect(together.length).toBeLessThanOrEqual(2);
  });
});

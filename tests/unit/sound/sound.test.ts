// Click voices, the ceiling, and which voice wins when events share a moment.
import fc from 'fast-check';
import FFT from 'fft.js';
import { describe, expect, it } from 'vitest';
import { CEILING, ceilingCurve, KNEE, underCeiling } from '../../../app/core/sound/ceiling.ts';
import { hitsOf } from '../../../app/core/sound/hits.ts';
import { renderVoice } from '../../../app/core/sound/voices.ts';
import {
  CLICK_TIMBRES,
  CLICK_VOICES,
  type ClickVoice,
} from '../../../app/core/timeline/click-voices.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { emptyBars, PLAIN, unitOf } from '../timeline/examples.ts';

describe.each(CLICK_TIMBRES)('click voices on %s', (timbre) => {
  it.each(CLICK_VOICES)('%s: sounds from the first sample, ends in silence', (voice) => {
    for (const rate of [44_100, 48_000]) {
      const samples = renderVoice(voice, rate, timbre);
      const peak = samples.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
      expect(peak).toBeGreaterThan(0.5);
      expect(peak).toBeLessThanOrEqual(1);
      expect(Math.abs(samples[0]!)).toBeGreaterThan(1e-3);
      expect(Math.abs(samples.at(-1)!)).toBeLessThan(1e-3);
    }
  });

  it('falls in pitch from bar to beat, a tone or more each time', () => {
    const [bar, group, beat] = (['bar', 'group', 'beat'] as const).map((voice) =>
      strongestTone(renderVoice(voice, 48_000, timbre)),
    );
    expect(bar! / group!).toBeGreaterThan(1.12);
    expect(group! / beat!).toBeGreaterThan(1.12);
  });

  it('tells cue, change and count-in from the pulse by a fourth (4:3) or more', () => {
    const toneOf = (voice: ClickVoice) => strongestTone(renderVoice(voice, 48_000, timbre));
    const pulse = (['bar', 'group', 'beat'] as const).map(toneOf);
    for (const mark of ['change', 'count', 'entrance'] as const) {
      for (const tone of pulse) expect(toneOf(mark) / tone).toBeGreaterThan(1.12);
    }
  });
});

describe('click voices', () => {
  it('of cue and change reach the ear through a small loudspeaker: their energy lies above 800 Hz', () => {
    for (const voice of ['cue', 'change'] as const) {
      expect(shareAbove(renderVoice(voice, 48_000), 800)).toBeGreaterThan(0.95);
    }
  });

  it('refuses a sample rate that is none', () => {
    expect(() => renderVoice('bar', Number.NaN)).toThrow('NaN Hz is not a sample rate');
  });
});

const SIZE = 16_384;

/** Power of each of the lower half's bins, 2.9 Hz apart. */
function powersOf(samples: Float32Array): Float64Array {
  const padded = new Float64Array(SIZE);
  padded.set(samples.subarray(0, SIZE));
  const out = new Float64Array(2 * SIZE);
  new FFT(SIZE).realTransform(out, padded);
  return Float64Array.from({ length: SIZE / 2 }, (_, k) => out[2 * k]! ** 2 + out[2 * k + 1]! ** 2);
}

const hertzOf = (bin: number): number => (bin * 48_000) / SIZE;

function strongestTone(samples: Float32Array): number {
  const powers = powersOf(samples);
  return hertzOf(powers.indexOf(Math.max(...powers)));
}

function shareAbove(samples: Float32Array, hertz: number): number {
  const powers = powersOf(samples);
  const sum = (list: Float64Array) => list.reduce((a, b) => a + b, 0);
  return sum(powers.filter((_, bin) => hertzOf(bin) >= hertz)) / sum(powers);
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

  it('a change and a cue are added to the beat, never instead of it', () => {
    const chords: [string, number][] = [['G', 0], ['C', 3]]; // prettier-ignore
    const heard = voices({ cueBeats: 1 }, chords);
    expect(heard.slice(0, 7)).toEqual([
      '0 bar',
      '0 change',
      '1 beat',
      '2 group',
      '2 cue',
      '3 beat',
      '3 change',
    ]);
  });

  it('the count-in has its sticks and announces the entrance; rest bars sound unlike both', () => {
    const heard = voices({ countIn: 'one', restBars: 1 }, []).map((line) => line.split(' ')[1]);
    expect(heard.slice(0, 4)).toEqual(['count', 'count', 'count', 'entrance']);
    expect(heard.slice(-4)).toEqual(['rest', 'rest', 'rest', 'rest']);
    expect(heard.slice(4, -4)).not.toContain('count');
  });

  it('rest bars are silent where that is chosen', () => {
    const heard = voices({ restBars: 2, rest: 'silent' }, []);
    expect(heard.at(-1)).toBe('7 beat');
  });

  it('an unmarked change leaves the beat as it was', () => {
    expect(voices({ markChanges: false }, [['G', 2]]).slice(0, 3)).toEqual([
      '0 bar',
      '1 beat',
      '2 group',
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

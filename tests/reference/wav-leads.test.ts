// Lead lines in WAVE files: read by wavefile 11.0.0, pitches measured by pitchy 4.1.0 (McLeod & Wyvill 2005).
import { PitchDetector } from 'pitchy';
import wavefile from 'wavefile';
import { describe, expect, it } from 'vitest';
import { writeWav } from '../../app/core/exchange/wave/write.ts';
import { KNEE, underCeiling } from '../../app/core/sound/ceiling.ts';
import { LEAD_GAIN } from '../../app/core/sound/lead/voice.ts';
import { renderLead } from '../support/render-lead.ts';
import { lineTrack } from '../unit/exchange/lead-unit.ts';
import { FULL_LEVELS } from '../support/levels.ts';

const RATE = 44_100;
const WINDOW = 4096;

function samplesOf(
  parts: Readonly<Record<string, string>>,
  bpm = 60,
  levels = FULL_LEVELS,
): Float32Array {
  const pieces = [...writeWav(lineTrack(parts, bpm), levels, RATE)].map((piece) => piece.bytes);
  const wav = new wavefile.WaveFile(Buffer.concat(pieces));
  const whole = wav.getSamples(false, Int16Array as never) as unknown as Int16Array;
  return Float32Array.from(whole, (x) => x / 32_767);
}

function centsFrom(samples: Float32Array, at: number, midi: number): number {
  const start = Math.round(at * RATE) - WINDOW / 2;
  const window = samples.subarray(start, start + WINDOW);
  const [hertz] = PitchDetector.forFloat32Array(WINDOW).findPitch(window, RATE);
  return 1200 * Math.log2(hertz / (440 * 2 ** ((midi - 69) / 12)));
}

describe('a lead line in a file', () => {
  it.each<[string, number, number]>([
    ['1 3/7', 0.5, 62],
    ['1 3/7b1', 2, 64],
    ['1 3/7b1.5', 2, 65],
    ['1 3/7b1r', 3.7, 62],
    ['2 3/5 /9', 2.1, 64],
  ])('%s is heard after %d s at MIDI %d', (part, at, midi) => {
    expect(Math.abs(centsFrom(samplesOf({ One: part }), at, midi))).toBeLessThan(5);
  });

  it('goes on over the joints between the pieces of five seconds', () => {
    // At 30 bpm a bar lasts 8 s; the note begins before the first joint and ends after the second.
    const parts = { One: '2 r 3/7~ | 1 -' };
    const samples = samplesOf(parts, 30);
    const { laps, end } = lineTrack(parts, 30);
    const ideal = renderLead(laps[0]!.leads[0]!.tones, end * RATE, RATE);
    const furthest = ideal.reduce((most, x, i) => {
      return Math.max(most, Math.abs(underCeiling(KNEE * LEAD_GAIN * x) - samples[i]!));
    }, 0);
    expect(furthest).toBeLessThanOrEqual(1 / 32_767);
  });

  it('both parts sound together; at level 0 neither does', () => {
    const both = samplesOf({ One: '1 6/0', Two: '1 1/12' });
    const [one, two] = [samplesOf({ One: '1 6/0' }), samplesOf({ Two: '1 1/12' })];
    const furthest = both.reduce(
      (most, x, i) => Math.max(most, Math.abs(x - one[i]! - two[i]!)),
      0,
    );
    expect(furthest).toBeLessThanOrEqual(2 / 32_767);
    expect(
      samplesOf({ One: '1 6/0' }, 60, { ...FULL_LEVELS, model: 0 }).every((x) => x === 0),
    ).toBe(true);
  });
});

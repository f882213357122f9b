// Our WAVE files against independent readers: wavefile 11.0.0 always, SoX where it is installed.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import wavefile from 'wavefile';
import { describe, expect, it } from 'vitest';
import { practiceTrack, type TrackOptions } from '../../app/core/exchange/practice-track.ts';
import { writeWav } from '../../app/core/exchange/wave/write.ts';
import { unwrap } from '../../app/core/base/result.ts';
import { hitsOf } from '../../app/core/sound/hits.ts';
import { PLAIN, unitOf } from '../unit/timeline/examples.ts';
import { FULL_LEVELS } from '../support/levels.ts';
import { needsProgram } from '../support/needs.ts';

const unit = unitOf([{ chords: [['Em', 0]] }, { chords: [['Am', 0]] }]);
const OPTIONS: TrackOptions = {
  tempos: [90, 97],
  passes: 2,
  lap: { ...PLAIN, restBars: 1 },
  click: 'all',
};

function fileOf(options: TrackOptions, rate: number): Buffer {
  const track = unwrap(practiceTrack(unit, options));
  return Buffer.concat([...writeWav(track, FULL_LEVELS, rate)].map((piece) => piece.bytes));
}

describe.each([44_100, 48_000])('a practice track at %i Hz', (rate) => {
  const bytes = fileOf(OPTIONS, rate);
  const wav = new wavefile.WaveFile(bytes);
  const samples = wav.getSamples(false, Int16Array as never) as unknown as Int16Array;

  it('is read as 16-bit PCM, one channel, as long as its bars', () => {
    expect(wav.container).toBe('RIFF');
    expect(wav.fmt).toMatchObject({ audioFormat: 1, numChannels: 1, sampleRate: rate });
    expect(wav.bitDepth).toBe('16');
    // Per pass: one bar of count-in, two of the unit, one of rest; four quarters each.
    const seconds = 2 * 16 * (60 / 90) + 2 * 16 * (60 / 97);
    expect(samples.length).toBe(Math.round(seconds * rate));
  });

  it('has every click within one sample of its place', () => {
    const track = unwrap(practiceTrack(unit, OPTIONS));
    const places = track.laps.flatMap(({ lap, startsAt }) =>
      hitsOf(lap).map((hit) => (startsAt + hit.seconds) * rate),
    );
    for (const place of new Set(places)) {
      const from = Math.max(0, Math.ceil(place - 100));
      const first = from + samples.subarray(from).findIndex((x) => x !== 0);
      expect(Math.abs(first - place)).toBeLessThanOrEqual(1);
    }
  });

  it('stays under −6 dBFS', () => {
    const peak = samples.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
    expect(peak / 32_768).toBeGreaterThan(0.3);
    expect(peak / 32_768).toBeLessThanOrEqual(10 ** (-6 / 20));
  });
});

describe('SoX', needsProgram('sox', '--version'), () => {
  it('agrees about format and length', () => {
    const folder = mkdtempSync(join(tmpdir(), 'rungwise-wav-'));
    const file = join(folder, 'track.wav');
    const voicings = [[40, 47, 52, 55, 59, 64], [null, 45, 52, 57, 60, 64]]; // prettier-ignore
    writeFileSync(file, fileOf({ ...OPTIONS, voicings }, 48_000));
    const info = spawnSync('sox', ['--i', file]).stdout.toString();
    const stat = spawnSync('sox', [file, '-n', 'stat']).stderr.toString();
    rmSync(folder, { recursive: true });
    expect(info).toMatch(/Channels\s*: 1/);
    expect(info).toMatch(/Sample Rate\s*: 48000/);
    expect(info).toMatch(/Precision\s*: 16-bit/);
    const seconds = 2 * 16 * (60 / 90) + 2 * 16 * (60 / 97);
    expect(Number(/Length \(seconds\):\s*([\d.]+)/.exec(stat)![1])).toBeCloseTo(seconds, 4);
    expect(Number(/Maximum amplitude:\s*([\d.]+)/.exec(stat)![1])).toBeLessThanOrEqual(0.5012);
  });
});

// The loudness meter of the tests against the standard's own calibration and an independent program.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import wavefile from 'wavefile';
import { describe, expect, it } from 'vitest';
import { renderVoice } from '../../app/core/sound/voices.ts';
import { loudest, LOUDNESS_RATE, MOMENTARY } from '../support/loudness.ts';
import { needsProgram } from '../support/needs.ts';

const sine = (hertz: number, seconds: number) =>
  Float32Array.from({ length: seconds * LOUDNESS_RATE }, (_, i) =>
    Math.sin((2 * Math.PI * hertz * i) / LOUDNESS_RATE),
  );

describe('loudness', () => {
  // ITU-R BS.1770: 0 dBFS at 997 Hz on one front channel reads −3.01 LKFS (from memory).
  it('reads −3.01 LKFS for 997 Hz at full scale', () => {
    expect(loudest(sine(997, 1), MOMENTARY)).toBeCloseTo(-3.01, 1);
  });

  it.each(['beat', 'change', 'entrance'] as const)(
    'agrees with ffmpeg’s ebur128 within 0.3 dB on a %s every 100 ms',
    needsProgram('ffmpeg', '-version'),
    (voice) => {
      const samples = new Float32Array(2 * LOUDNESS_RATE);
      const one = renderVoice(voice, LOUDNESS_RATE);
      for (let from = 0; from < samples.length; from += 4800) {
        one.forEach((x, i) => {
          if (from + i < samples.length) samples[from + i]! += 0.5 * x;
        });
      }
      const wav = new wavefile.WaveFile();
      wav.fromScratch(1, LOUDNESS_RATE, '32f', samples);
      const path = join(mkdtempSync(join(tmpdir(), 'loudness-')), 'clicks.wav');
      writeFileSync(path, wav.toBuffer());
      const args = ['-nostats', '-i', path, '-filter_complex', 'ebur128', '-f', 'null', '-'];
      const { stderr } = spawnSync('ffmpeg', args, { encoding: 'utf8' });
      const momentary = [...stderr.matchAll(/M:\s*(-?[\d.]+)/g)].map(([, m]) => Number(m));
      expect(Math.abs(Math.max(...momentary) - loudest(samples, MOMENTARY))).toBeLessThan(0.3);
    },
  );
});

// Our MIDI files as another program sounds them: fluidsynth with Debian's fluid-soundfont-gm, where installed.
// Pitches are measured by pitchy 4.1.0 (McLeod & Wyvill 2005). Intervals within one note are compared, so
// that the tuning of the sampled guitar does not matter; a range that was not understood would show at once.
import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PitchDetector } from 'pitchy';
import { describe, expect, it } from 'vitest';
import { writeSmf } from '../../app/core/exchange/midi/write.ts';
import { SOUND_FONT } from '../bench/ear-set/bank.ts';
import { lineTrack } from '../unit/exchange/lead-unit.ts';
import { needs } from '../support/needs.ts';

const RATE = 44_100;
const WINDOW = 4096;
const MISSING = 'fluidsynth or Debian’s fluid-soundfont-gm is not installed here';
const installed = existsSync(SOUND_FONT) && spawnSync('fluidsynth', ['--version']).status === 0;

/** One channel, without reverb or chorus. */
function sounded(part: string): Float32Array {
  const folder = mkdtempSync(join(tmpdir(), 'rungwise-midi-'));
  const [midi, raw] = [join(folder, 'line.mid'), join(folder, 'line.raw')];
  writeFileSync(midi, writeSmf(lineTrack({ One: part }), 'Test'));
  const dry = ['-R', '0', '-C', '0', '-g', '1', '-r', String(RATE)];
  const bare = ['-T', 'raw', '-O', 's16', '-E', 'little', '-F', raw];
  spawnSync('fluidsynth', ['-ni', '-q', ...dry, ...bare, SOUND_FONT, midi]);
  const bytes = readFileSync(raw);
  rmSync(folder, { recursive: true });
  const frames = Math.floor(bytes.length / 4);
  return Float32Array.from({ length: frames }, (_, i) => bytes.readInt16LE(4 * i) / 32_768);
}

/** Semitones above A4, around a time in seconds. */
function pitchAround(samples: Float32Array, at: number): number {
  const start = Math.round(at * RATE) - WINDOW / 2;
  const window = samples.subarray(start, start + WINDOW);
  const [hertz] = PitchDetector.forFloat32Array(WINDOW).findPitch(window, RATE);
  return 12 * Math.log2(hertz / 440);
}

describe('what fluidsynth plays', needs(installed, MISSING), () => {
  // At 60 bpm a whole note lasts 4 s: a bend is up by 0.35 s, turns at 2.4 s and is down again at 3.4 s.
  // fluidsynth 2.3 bends about 0.8 % less than told (7 semitones: 693.5 cents), hence a cent a semitone; the
  // rest is room for a sampled string that goes flat while it rings.
  it.each<readonly [string, number, number, number]>([
    ['1 3/7b1r', 1.5, 3.7, 2],
    ['1 3/7b1.5r', 1.5, 3.7, 3],
    ['2 3/5 /12', 2.3, 1.5, 7],
  ])('%s, at %d s over %d s', (part, at, from, semitones) => {
    const samples = sounded(part);
    const interval = pitchAround(samples, at) - pitchAround(samples, from);
    expect(Math.abs(interval - semitones) * 100).toBeLessThan(3 + semitones);
  });
});

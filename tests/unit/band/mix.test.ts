// The band as samples: to the frame, in pieces as in one go, cut without a click, under the ceiling in a file.
import wavefile from 'wavefile';
import { describe, expect, it } from 'vitest';
import { bassEnd, mixBass, mixDrums } from '../../../app/core/band/mix.ts';
import { slowBars } from '../../../app/core/band/hold-on.ts';
import { practiceTrack } from '../../../app/core/exchange/practice-track.ts';
import { writeWav } from '../../../app/core/exchange/wave/write.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { sampleKit, testKit } from '../../support/band-kit.ts';
import { FULL_LEVELS } from '../../support/levels.ts';
import { emptyBars, PLAIN, unitOf } from '../timeline/examples.ts';
import { bandAt, changed, timesOf } from './example.ts';

const RATE = 8_000;
const unit = changed(
  unitOf([{ chords: [['G', 0]] }, { chords: [['C', 0]] }, ...emptyBars(6)]),
  (_, i) => ({ section: i < 4 ? 'Verse' : 'Chorus' }),
);
const band = bandAt(unit, { bpm: 97 });

describe('the band as samples', () => {
  it('has every hit at the nearest frame', () => {
    const out = new Float32Array(RATE * 21);
    mixDrums(out, 0, band.drums, sampleKit(RATE));
    const struck = [...new Set(band.drums.map((hit) => Math.round(hit.seconds * RATE)))];
    const found = [...out.keys()].filter((i) => out[i] !== 0);
    expect(found).toEqual(struck);
  });

  it('is the same in pieces as in one go', () => {
    const kit = testKit(RATE);
    for (const [mix, events] of [
      [mixDrums, band.drums],
      [mixBass, band.bass],
    ] as const) {
      const all = new Float32Array(RATE * 20);
      const pieces = new Float32Array(all.length);
      mix(all, 0, events as never, kit);
      for (let from = 0; from < all.length; from += 1_000) {
        mix(pieces.subarray(from, from + 1_000), from, events as never, kit);
      }
      expect(pieces).toEqual(all);
    }
  });

  it('stops a bass note without a step: no edge is steeper than the string itself', () => {
    const kit = testKit(RATE);
    const out = new Float32Array(RATE * 21);
    mixBass(out, 0, band.bass, kit);
    // The steepest sample-to-sample rise of the highest note at full level.
    const steepest = Math.max(...kit.bass.map((s) => slopeOf(s)));
    expect(slopeOf(out)).toBeLessThanOrEqual(steepest * 1.05);
    const end = Math.ceil(bassEnd(band.bass) * RATE) + 1;
    expect(out.subarray(end).every((x) => x === 0)).toBe(true);
  });

  it('in a file never passes the ceiling, with all levels at full', () => {
    const track = unwrap(
      practiceTrack(unit, {
        tempos: [97],
        passes: 1,
        lap: { ...PLAIN, restBars: 1 },
        click: 'all',
        band: {},
      }),
    );
    const pieces = [...writeWav(track, FULL_LEVELS, RATE, testKit(RATE))].map((p) => p.bytes);
    const wav = new wavefile.WaveFile(Buffer.concat(pieces));
    const samples = wav.getSamples(false, Int16Array) as unknown as Int16Array;
    const peak = samples.reduce((most, x) => Math.max(most, Math.abs(x)), 0) / 32_767;
    expect(peak).toBeGreaterThan(0.2);
    expect(peak).toBeLessThanOrEqual(0.5);
    expect(() => [...writeWav(track, FULL_LEVELS, RATE)]).toThrow('a band needs its sounds');
  });
});

const slopeOf = (samples: Float32Array): number =>
  samples.reduce((most, x, i) => Math.max(most, Math.abs(x - (samples[i - 1] ?? 0))), 0);

describe('the bar to hold on to', () => {
  it('two bars with the band and two without', () => {
    const { drums, bass, lap } = bandAt(unit, {
      holdOn: { kind: 'turns', with: 2, without: 2 },
    });
    const barOf = (seconds: number) => Math.floor(seconds / 4 + 1e-9);
    expect([...new Set(drums.map((hit) => barOf(hit.seconds)))]).toEqual([0, 1, 4, 5]);
    expect(bass.every((note) => note.until <= lap.bars[barOf(note.seconds) + 2]!.seconds)).toBe(
      true,
    );
    expect(bass.filter((note) => note.until > 8 && note.seconds < 16)).toEqual([]);
  });

  it('silent in chosen bars', () => {
    const { drums } = bandAt(unit, { holdOn: { kind: 'bars', silent: [1] } });
    expect(drums.some((hit) => hit.seconds >= 4 && hit.seconds < 8)).toBe(false);
    expect(timesOf(drums, 'snare')).toContain(9);
  });

  it('the hard bars at 80 %, the rest in tempo; it is another unit for the log', () => {
    const slowed = slowBars(unit, [0, 2], 0.8);
    const lap = buildLap(slowed, 100, { ...PLAIN, countIn: 'none' });
    const beat = lap.bars.slice(0, 4).map((bar) => bar.quarter);
    expect(beat).toEqual([0.75, 0.6, 0.75, 0.6]);
    expect(slowed.fingerprint).not.toBe(unit.fingerprint);
    expect(() => slowBars(unit, [0], 0)).toThrow('a share of 0');
  });
});

// The model guitar's samples: pitch against an independent estimator, level, and mixing in pieces.
import { PitchDetector } from 'pitchy';
import { describe, expect, it } from 'vitest';
import { guitarEnd, mixGuitar, Plucks } from '../../../app/core/sound/guitar.ts';
import { frequencyOf, renderPluck } from '../../../app/core/sound/pluck.ts';
import type { StringNote } from '../../../app/core/sound/strum-notes.ts';

// Source of the estimate: pitchy 4.1.0, the McLeod pitch method. Every fourth semitone from the lowest
// string of a dropped tuning to the 24th fret of string 1.
const PITCHES = Array.from({ length: 14 }, (_, i) => 36 + 4 * i);

const decibels = (x: Float32Array): number =>
  10 * Math.log10(x.reduce((sum, s) => sum + s * s, 0) / x.length);

/** Level of one frequency, in cycles a sample: a sine's own mean power. */
function partial(x: Float32Array, cycles: number): number {
  const sum = (wave: (turn: number) => number): number =>
    x.reduce((total, s, i) => total + s * wave(2 * Math.PI * cycles * i), 0) / x.length;
  return 10 * Math.log10(2 * (sum(Math.cos) ** 2 + sum(Math.sin) ** 2));
}

describe.each([44_100, 48_000])('a pluck at %i Hz', (rate) => {
  it.each(PITCHES)('of MIDI %i is in tune within 2 cents', (midi) => {
    const samples = renderPluck(midi, rate);
    const from = Math.round(0.1 * rate);
    const detector = PitchDetector.forFloat32Array(8192);
    const [hertz, clarity] = detector.findPitch(samples.subarray(from, from + 8192), rate);
    expect(clarity).toBeGreaterThan(0.95);
    expect(Math.abs(1200 * Math.log2(hertz / frequencyOf(midi)))).toBeLessThan(2);
  });
});

describe('a pluck', () => {
  it('takes its pitch from A4 = 440 Hz (ISO 16:1975)', () => {
    expect(frequencyOf(69)).toBe(440);
    expect(frequencyOf(40)).toBeCloseTo(82.41, 2);
  });

  it('peaks at 1, dies away, and is the same every time', () => {
    const once = renderPluck(52, 48_000);
    const energy = (from: number) =>
      once.subarray(from, from + 4800).reduce((sum, x) => sum + x * x, 0);
    expect(once.reduce((most, x) => Math.max(most, Math.abs(x)), 0)).toBeCloseTo(1, 6);
    expect(energy(150_000)).toBeLessThan(0.05 * energy(4800));
    expect(renderPluck(52, 48_000)).toEqual(once);
  });

  it.each([44_100, 48_000])('is as loud and as full as its neighbours at %i Hz', (rate) => {
    const notes = Array.from({ length: 37 }, (_, i) => {
      const samples = renderPluck(40 + i, rate).subarray(0, Math.round(0.1 * rate));
      return { loud: decibels(samples), full: partial(samples, frequencyOf(40 + i) / rate) };
    });
    const loudness = notes.map(({ loud }) => loud);
    expect(Math.max(...loudness) - Math.min(...loudness)).toBeLessThan(3);
    // The fundamental, against the whole note: a string without it sounds thin, and its chord is told wrong.
    const share = notes.map(({ loud, full }) => full - loud);
    expect(Math.min(...share)).toBeGreaterThan(-8);
    expect(Math.max(...share)).toBeLessThan(0);
  });

  it('with muted strings is over soon', () => {
    expect(renderPluck(52, 48_000, 'muted').length).toBeLessThan(0.2 * 48_000);
  });

  it('under the palm keeps its pitch, but is darker and sooner over', () => {
    const [free, palm] = [renderPluck(45, 48_000), renderPluck(45, 48_000, 'damped')];
    const detector = PitchDetector.forFloat32Array(4096);
    const [hertz] = detector.findPitch(palm.subarray(1200, 1200 + 4096), 48_000);
    expect(Math.abs(1200 * Math.log2(hertz / frequencyOf(45)))).toBeLessThan(10);
    // Slope against level: the share of high partials.
    const bright = (x: Float32Array) => {
      const part = x.subarray(2400, 7200);
      const steps = part.slice(1).map((s, i) => s - part[i]!);
      const power = (y: Float32Array) => y.reduce((sum, s) => sum + s * s, 0);
      return power(steps) / power(part);
    };
    expect(bright(palm)).toBeLessThan(0.6 * bright(free));
    const late = (x: Float32Array) =>
      x.subarray(9600, 14_400).reduce((m, s) => Math.max(m, Math.abs(s)), 0);
    expect(late(palm)).toBeLessThan(0.5 * late(free));
  });

  it('refuses a pitch that no string has', () => {
    expect(() => renderPluck(Number.NaN, 48_000)).toThrow('no string sounds MIDI NaN');
  });
});

describe('mixGuitar', () => {
  const note = (seconds: number, until: number, midi: number): StringNote => {
    return { seconds, until, midi, gain: 1, muted: false };
  };
  const notes = [note(0, 1.5, 40), note(0.011, 3, 64), note(1.5, 2.2, 43)];
  const plucks = new Plucks(8_000);
  const all = new Float32Array(8_000 * 4);
  mixGuitar(all, 0, notes, plucks);

  it('gives the same samples in pieces as in one go', () => {
    const pieces = new Float32Array(all.length);
    for (let from = 0; from < all.length; from += 1_000) {
      mixGuitar(pieces.subarray(from, from + 1_000), from, notes, plucks);
    }
    expect(pieces).toEqual(all);
  });

  it('lets a string that is slid into begin two semitones lower and reach its own pitch', () => {
    const rate = 44_100;
    const out = new Float32Array(rate);
    mixGuitar(out, 0, [{ ...note(0, 1, 52), slide: 2 }], new Plucks(rate));
    const pitchAt = (from: number, size: number): number =>
      PitchDetector.forFloat32Array(size).findPitch(out.subarray(from, from + size), rate)[0];
    const cents = (hertz: number): number => 1200 * Math.log2(hertz / frequencyOf(52));
    expect(cents(pitchAt(0, 2048))).toBeLessThan(-100);
    expect(Math.abs(cents(pitchAt(12_000, 4096)))).toBeLessThan(5);
  });

  it('is silent before the first note and after the last', () => {
    const end = Math.ceil(guitarEnd(notes) * 8_000);
    expect(all.subarray(end).every((x) => x === 0)).toBe(true);
    expect(all.subarray(end - 400, end).some((x) => x !== 0)).toBe(true);
  });

  it('stays within full scale for six strings struck together with an accent', () => {
    const chord = [40, 47, 52, 56, 59, 64].map((midi, i) => note(0.002 * i, 2, midi));
    const out = new Float32Array(8_000 * 2);
    mixGuitar(out, 0, chord, plucks);
    const peak = out.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
    expect(peak).toBeGreaterThan(0.4);
    expect(peak).toBeLessThan(1.3);
  });
});

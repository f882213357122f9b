// The round trip's signal, its finding in a recording, and what several repeats amount to.
import { describe, expect, it } from 'vitest';
import {
  correlation,
  findSignal,
} from '../../../../../renderer/audio/capture/latency/correlate.ts';
import { maximumLengthSequence } from '../../../../../renderer/audio/capture/latency/mls.ts';
import { roundTripOf } from '../../../../../renderer/audio/capture/latency/round-trip.ts';
import { dice } from '../../../../bench/ear-set/random.ts';

const RATE = 48_000;
const known = maximumLengthSequence();

/** Seeded, so that a failure comes back. */
function noise(length: number, gain: number, seed = 1): Float32Array {
  const { between } = dice(seed);
  return Float32Array.from({ length }, () => between(-gain, gain));
}

function recordedAt(delay: number, gain: number, background: number): Float32Array {
  const out = noise(known.length + 30_000, background);
  known.forEach((x, i) => {
    const whole = Math.floor(delay);
    const share = delay - whole;
    out[i + whole]! += gain * (1 - share) * x;
    out[i + whole + 1]! += gain * share * x;
  });
  return out;
}

describe('the test signal', () => {
  // Golomb 1967, Shift Register Sequences (memory; each law is computed here): a maximum length sequence of
  // order n has 2^n − 1 values, one more of one kind than of the other, and a cyclic correlation of −1 off its peak.
  it('is a maximum length sequence of order 15', () => {
    expect(known.length).toBe(32_767);
    expect(Math.abs(known.reduce((sum, x) => sum + x, 0))).toBe(1);
    const twice = new Float32Array(2 * known.length);
    twice.set(known);
    twice.set(known, known.length);
    const cyclic = correlation(twice, known).map(Math.round);
    expect(cyclic[0]).toBe(known.length);
    expect(new Set(cyclic.slice(1, known.length))).toEqual(new Set([-1]));
  });
});

describe('finding it', () => {
  it.each([0, 1_234, 29_000])('at %i samples, 12 dB under the noise', (delay) => {
    const found = findSignal(recordedAt(delay, 0.1, 0.4), known);
    expect(found.delay).toBeCloseTo(delay, 1);
    expect(found.aboveRest).toBeGreaterThan(18);
  });

  it('between two samples', () => {
    const { delay } = findSignal(recordedAt(500.5, 0.5, 0.01), known);
    expect(Math.abs(delay - 500.5)).toBeLessThan(0.1);
  });

  it('also where the microphone turns it upside down', () => {
    const found = findSignal(recordedAt(777, -0.3, 0.01), known);
    expect(found.delay).toBeCloseTo(777, 1);
  });

  it('does not stand out where it is not', () => {
    expect(findSignal(noise(known.length + 30_000, 0.5), known).aboveRest).toBeLessThan(18);
  });

  it('is not found in silence', () => {
    expect(findSignal(new Float32Array(known.length + 10), known).aboveRest).toBe(-Infinity);
  });

  it('refuses a recording that is too short to hold it', () => {
    expect(() => findSignal(new Float32Array(100), known)).toThrow(/100 samples/);
  });
});

describe('several repeats', () => {
  const at = (delay: number, aboveRest = 30) => ({ delay, aboveRest });

  it('give their middle and their spread', () => {
    const trip = roundTripOf([at(2400), at(2448), at(2410), at(2420)], RATE);
    expect(trip).toMatchObject({ ok: true, value: { accepted: 4, repeats: 4 } });
    if (!trip.ok) return;
    expect(trip.value.delay).toBeCloseTo(2420 / RATE, 9);
    expect(trip.value.spread).toBeCloseTo(1, 9);
  });

  it('count only where the peak is at least 18 dB above the rest', () => {
    const trip = roundTripOf([at(2400), at(9999, 17.9), at(2400), at(2400)], RATE);
    expect(trip).toMatchObject({ ok: true, value: { accepted: 3, spread: 0 } });
  });

  it('are refused where fewer than three are clear, or where they disagree', () => {
    const unclear = roundTripOf([at(1, 3), at(2, 3), at(2400), at(2400)], RATE);
    expect(unclear).toMatchObject({ problems: [{ code: 'round-trip-not-heard' }] });
    const apart = roundTripOf([at(2400), at(2400), at(3000)], RATE);
    expect(apart).toMatchObject({ problems: [{ code: 'round-trip-unsteady' }] });
  });
});

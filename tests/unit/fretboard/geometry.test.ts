// The neck in millimetres, from the formula of equal temperament.
import { describe, expect, test } from 'vitest';
import {
  fretDistance,
  stringOffset,
  tipDistance,
  tipTable,
  USUAL_NECK,
} from '../../../app/core/fretboard/geometry.ts';
import { pitchAt } from '../../../app/core/fretboard/capo.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';

describe('fret distances, L(1 − 2^(−n/12))', () => {
  test('fret 12 halves the string and fret 24 leaves a quarter', () => {
    expect(fretDistance(12, 648)).toBeCloseTo(324, 9);
    expect(fretDistance(24, 648)).toBeCloseTo(648 * 0.75, 9);
  });

  // FACTS: computed from L(1 − 2^(−1/12)).
  test.each([
    [648, 36.37],
    [628.65, 35.28],
  ])('first fret of a %d mm scale at %d mm', (scale, first) =>
    expect(fretDistance(1, scale)).toBeCloseTo(first, 2),
  );

  test("the luthier's divisor 17.817: each fret space is that part of what remains", () => {
    for (let fret = 1; fret <= 24; fret++) {
      const before = fretDistance(fret - 1, 648);
      expect((648 - before) / (fretDistance(fret, 648) - before)).toBeCloseTo(17.817, 3);
    }
  });

  test('a scale or fret out of range is refused with its value', () => {
    expect(() => fretDistance(1, 64.8)).toThrow('scale 64.8 mm is outside 300–900 mm');
    expect(() => fretDistance(-1, 648)).toThrow('fret -1 is below 0');
  });
});

test('strings fan out from the nut to the bridge', () => {
  expect(stringOffset(6, 100, USUAL_NECK)).toBe(0);
  expect(stringOffset(1, 0, USUAL_NECK)).toBeCloseTo(USUAL_NECK.spreadAtNut, 9);
  expect(stringOffset(1, USUAL_NECK.scale, USUAL_NECK)).toBeCloseTo(USUAL_NECK.spreadAtBridge, 9);
});

test('a fingertip presses between its wire and the one before; a capo moves it towards the bridge', () => {
  const tip = tipDistance(3, USUAL_NECK);
  expect(tip).toBeGreaterThan(fretDistance(2));
  expect(tip).toBeLessThan(fretDistance(3));
  expect(tipDistance(3, { ...USUAL_NECK, capo: 2 })).toBe(tipDistance(5, USUAL_NECK));
  expect(tipTable(USUAL_NECK)[3]).toBe(tip);
});

test('pitches: an octave at fret 12, a capo raises all', () => {
  expect(pitchAt(STANDARD.strings, 1, 12, 0)).toBe(76);
  expect(pitchAt(STANDARD.strings, 6, 3, 2)).toBe(45);
});

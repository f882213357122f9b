// Strokes of known time are found within a few milliseconds, and nothing else is.
import { describe, expect, it } from 'vitest';
import { findOnsets, onsetDetector } from '../../../app/core/ear/onsets.ts';
import { EAR_RATE } from '../../../app/core/ear/rate.ts';
import { CHORDS, strums, tone } from './sounds.ts';

const { C, G } = CHORDS;

describe('findOnsets', () => {
  it('places strokes at the moment of their first string', () => {
    const times = [0.5, 1.013, 1.55, 2.007];
    const found = findOnsets(
      strums(
        times.map((at, i) => ({ at, notes: i % 2 ? G : C })),
        2.6,
      ),
    );
    expect(found).toHaveLength(4);
    found.forEach((onset, i) => expect(Math.abs(onset.at - times[i]!)).toBeLessThan(0.015));
  });

  it('hears the same chord struck again while it rings', () => {
    const found = findOnsets(
      strums(
        [0.5, 0.8, 1.1].map((at) => ({ at, notes: C })),
        1.6,
      ),
    );
    expect(found).toHaveLength(3);
  });

  it.each([
    ['silence', new Float32Array(EAR_RATE)],
    ['a steady tone', tone(220, 1, EAR_RATE).map((v) => 0.3 * v)],
  ])('hears no stroke in %s', (_, sound) => {
    expect(findOnsets(sound)).toEqual([]);
  });
});

describe('onsetDetector', () => {
  it('finds the same strokes in sound that grows piece by piece', () => {
    const sound = strums(
      [0.5, 1.0].map((at) => ({ at, notes: C })),
      1.6,
    );
    const detector = onsetDetector();
    const clicks = new Float32Array(sound.length);
    for (let length = 0; length < sound.length; length += 1000) {
      detector.advance(sound, clicks, length);
    }
    expect(detector.onsets.filter((o) => o.strength >= 1)).toEqual(findOnsets(sound));
  });
});

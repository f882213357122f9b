// Holes: exact silence between sound that was cut off hard, wherever the blocks were cut.
import { describe, expect, test } from 'vitest';
import { holeFinder } from '../../../app/core/ear/holes.ts';

const RATE = 48_000;

const tone = (seconds: number, level = 0.2): Float32Array =>
  Float32Array.from({ length: seconds * RATE }, (_, i) => level * Math.sin(0.05 * i + 0.5));

function holesIn(sound: Float32Array, block: number): { from: number; to: number }[] {
  const finder = holeFinder(RATE);
  for (let i = 0; i < sound.length; i += block) finder.push(sound.subarray(i, i + block));
  return finder.holes.map(({ from, to }) => ({ from, to }));
}

const silenced = (sound: Float32Array, from: number, to: number): Float32Array =>
  sound.fill(0, Math.round(from * RATE), Math.round(to * RATE));

describe('a stretch that did not arrive', () => {
  test.each([128, 480, 1024, 48_000])('in blocks of %i', (block) => {
    const [hole, ...more] = holesIn(silenced(tone(1), 0.4, 0.41), block);
    expect(more).toEqual([]);
    expect(hole!.from).toBeCloseTo(0.4, 3);
    expect(hole!.to).toBeCloseTo(0.41, 3);
  });

  test('each of several', () => {
    expect(holesIn(silenced(silenced(tone(1), 0.2, 0.21), 0.6, 0.65), 1024)).toHaveLength(2);
  });
});

describe('is not', () => {
  test.each<[string, Float32Array]>([
    ['silence before the first sound', silenced(tone(1), 0, 0.5)],
    ['silence after the last', silenced(tone(1), 0.5, 1)],
    ['a sample or two of zero', silenced(tone(1), 0.5, 0.5 + 5 / RATE)],
    ['sound alone', tone(1)],
    ['a pause of a tenth of a second', silenced(tone(1), 0.4, 0.5)],
    ['nothing at all', new Float32Array(RATE)],
    ['a soft sound that stops', silenced(tone(1, 0.0005), 0.4, 0.41)],
    [
      'a note that dies away before the next',
      tone(1).map((x, i) =>
        i < RATE / 2 ? Math.round(x * 2 ** 15 * Math.exp(-i / 1500)) / 2 ** 15 : x,
      ),
    ],
  ])('%s', (_what, sound) => expect(holesIn(sound, 1024)).toEqual([]));
});

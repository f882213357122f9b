// Any usual WAVE file becomes the same numbers; anything else becomes a sentence.
import wavefile from 'wavefile';
import { describe, expect, it } from 'vitest';
import { readTake } from '../../../app/core/ear/take.ts';
import { toPcm16, wavHeader } from '../../../app/core/exchange/wav/riff.ts';
import { tone } from './sounds.ts';

/** Written by the library wavefile, which knows nothing of this program. */
function wav(depth: string, channels: number, rate = 44_100): Uint8Array {
  const file = new wavefile.WaveFile();
  const scale = depth === '32f' || depth === '64' ? 1 : 2 ** (Number(depth) - 1) - 1;
  const one = Array.from(tone(441, 0.1, rate), (v) => 0.5 * v * scale);
  file.fromScratch(
    channels,
    rate,
    depth,
    Array.from({ length: channels }, () => one),
  );
  return file.toBuffer();
}

describe('readTake', () => {
  it.each([
    ['16', 1, 44_100],
    ['16', 2, 48_000],
    ['24', 1, 96_000],
    ['24', 2, 44_100],
    ['32', 1, 44_100],
    ['32f', 2, 48_000],
    ['64', 1, 44_100],
  ])('reads %s bit with %i channels at %i Hz', (depth, channels, rate) => {
    const bytes = wav(depth, channels, rate);
    const read = readTake(bytes);
    if (!read.ok) throw new Error(read.problems[0]!.message);
    expect(read.value.rate).toBe(rate);
    expect(read.value.remarks).toEqual([]);
    const wanted = tone(441, 0.1, rate);
    read.value.samples.forEach((v, i) => expect(v).toBeCloseTo(0.5 * wanted[i]!, 3));
  });

  it('reads what this program writes', () => {
    const sound = tone(441, 0.1, 44_100).map((v) => 0.5 * v);
    const read = readTake(Buffer.concat([wavHeader(sound.length, 44_100), toPcm16(sound)]));
    expect(read.ok && read.value.samples.length).toBe(sound.length);
  });
});

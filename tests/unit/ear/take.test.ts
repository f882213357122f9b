// Any usual WAVE file becomes the same numbers; anything else becomes a sentence.
import wavefile from 'wavefile';
import { describe, expect, it } from 'vitest';
import { readTake } from '../../../app/core/ear/take.ts';
import { toPcm16, wavHeader } from '../../../app/core/exchange/wave/riff.ts';
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

  it.each([
    ['the extended format', extended()],
    ['tags before the sound', withTag('a title of odd length')],
    ['tags after the sound', Buffer.concat([wav('16', 1), chunk('LIST', 'INFO')])],
    ['a chunk of odd length before the format', afterHead(wav('16', 1), chunk('junk', 'odd'))],
    ['a length that the recorder did not know', unknownLength()],
    ['the form for very long files', afterHead(renamed('RF64'), chunk('ds64', '\0'.repeat(28)))],
  ])('reads a file with %s', (_, bytes) => {
    const read = readTake(bytes);
    if (!read.ok) throw new Error(read.problems[0]!.message);
    expect(read.value.remarks).toEqual([]);
    expect(read.value.samples).toHaveLength(4410);
    const wanted = tone(441, 0.1, 44_100);
    read.value.samples.forEach((v, i) => expect(v).toBeCloseTo(0.5 * wanted[i]!, 3));
  });

  it('takes no byte of padding for a sample', () => {
    const odd = new wavefile.WaveFile();
    odd.fromScratch(1, 8000, '8', [128, 192, 64]);
    const read = readTake(odd.toBuffer());
    expect(read.ok && Array.from(read.value.samples)).toEqual([0, 0.5, -0.5]);
  });

  it('refuses a file whose numbers run the other way round', () => {
    const read = readTake(renamed('RIFX'));
    expect(!read.ok && read.problems[0]!.code).toBe('take-not-wave');
  });
});

/** The tag that says "more to come", and the true one behind it; recorders write so from 24 bits or three channels on. */
function extended(): Uint8Array {
  const file = new wavefile.WaveFile(wav('24', 6));
  (file.fmt as { audioFormat: number }).audioFormat = 0xfffe;
  return file.toBuffer();
}

function withTag(title: string): Uint8Array {
  const file = new wavefile.WaveFile(wav('16', 1));
  file.setTag('INAM', title);
  return file.toBuffer();
}

/** Name, size, content, and a byte of padding where the size is odd (RIFF). */
function chunk(name: string, content: string): Buffer {
  const size = Buffer.alloc(4);
  size.writeUInt32LE(content.length);
  return Buffer.concat([
    Buffer.from(name),
    size,
    Buffer.from(content),
    Buffer.alloc(content.length % 2),
  ]);
}

const afterHead = (bytes: Uint8Array, more: Buffer): Buffer =>
  Buffer.concat([bytes.subarray(0, 12), more, bytes.subarray(12)]);

function renamed(container: string): Uint8Array {
  const bytes = wav('16', 1);
  bytes.set(Buffer.from(container));
  return bytes;
}

function unknownLength(): Uint8Array {
  const bytes = Buffer.from(wav('16', 1));
  bytes.writeUInt32LE(0xffffffff, bytes.indexOf('data') + 4);
  return bytes;
}

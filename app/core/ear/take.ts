// Reads a recording: a WAVE file of any usual kind becomes one channel of numbers, or a sentence that says why not.
import { type Problem, type Result, fail, ok } from '../base/result.ts';
import type { SampleRate, Seconds } from '../base/units.ts';
import { type WaveChunks, waveChunks, type WaveFormat } from './wave-chunks.ts';

export interface Take {
  /** −1 to 1; several channels are averaged. */
  readonly samples: Float32Array;
  readonly rate: SampleRate;
  readonly length: Seconds;
  /** What is odd about the file, though it could be read. */
  readonly remarks: readonly Problem[];
}

const LONGEST: Seconds = 20 * 60;
const LEAST_RATE: SampleRate = 8_000;
const MOST_RATE: SampleRate = 192_000;

/** 8- to 32-bit and float files of one or more channels. Never throws. */
export function readTake(bytes: Uint8Array, name = 'the file'): Result<Take> {
  const chunks = waveChunks(bytes);
  if (!chunks) return fail(notWave(name));
  const { format, sound } = chunks;
  const problem = unreadable(format, sound.length, name);
  if (problem) return fail(problem);
  const length = Math.floor(sound.length / format.frameBytes) / format.rate;
  if (length > LONGEST) return fail(tooLong(name, length));
  const samples = decoded(sound, format);
  return ok({ samples, rate: format.rate, length, remarks: remarks(chunks, length, name) });
}

type ReadSample = (view: DataView, at: number) => number;

/** By bits per sample, as RIFF/WAVE lays them out: little-endian, 8 bits without sign. */
const WHOLE: Readonly<Record<number, ReadSample>> = {
  8: (view, at) => view.getUint8(at) / 128 - 1,
  16: (view, at) => view.getInt16(at, true) / 2 ** 15,
  24: (view, at) => (view.getUint16(at, true) + view.getInt8(at + 2) * 2 ** 16) / 2 ** 23,
  32: (view, at) => view.getInt32(at, true) / 2 ** 31,
};
const FLOATING: Readonly<Record<number, ReadSample>> = {
  32: (view, at) => view.getFloat32(at, true),
  64: (view, at) => view.getFloat64(at, true),
};

const readerOf = ({ tag, bits }: WaveFormat): ReadSample | undefined =>
  tag === 3 ? FLOATING[bits] : tag === 1 ? WHOLE[bits] : undefined;

function decoded(bytes: Uint8Array, format: WaveFormat): Float32Array {
  const read = readerOf(format)!;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const { frameBytes, channels } = format;
  const size = frameBytes / channels;
  return Float32Array.from({ length: Math.floor(bytes.length / frameBytes) }, (_, i) => {
    let sum = 0;
    for (let c = 0; c < channels; c++) sum += read(view, i * frameBytes + c * size);
    return Number.isFinite(sum) ? sum / channels : 0;
  });
}

function unreadable(format: WaveFormat, bytes: number, name: string): Problem | null {
  const { tag, rate, frameBytes, channels, bits } = format;
  if (!readerOf(format)) {
    return {
      code: 'take-compressed',
      message: `${name} holds sound that is not plain (WAVE format ${tag}, ${bits} bits)`,
      cure: 'Export it again as plain 16- or 24-bit WAV.',
    };
  }
  if (channels < 1 || frameBytes !== (channels * bits) / 8) {
    return {
      code: 'take-damaged',
      message: `${name} contradicts itself: ${channels} channels of ${bits} bits in ${frameBytes} bytes`,
      cure: 'Export it again.',
    };
  }
  if (!(rate >= LEAST_RATE && rate <= MOST_RATE)) {
    return {
      code: 'take-rate',
      message: `${name} has ${rate} samples a second; the ear takes ${LEAST_RATE} to ${MOST_RATE}`,
      cure: 'Export it again at 44100 or 48000.',
    };
  }
  if (bytes < frameBytes) {
    return {
      code: 'take-empty',
      message: `${name} holds no sound`,
      cure: 'Record it again and wait until the recorder has saved it.',
    };
  }
  return null;
}

function remarks(
  { sound, announced }: WaveChunks,
  length: Seconds,
  name: string,
): readonly Problem[] {
  if (sound.length >= announced) return [];
  return [
    {
      code: 'take-truncated',
      message: `${name} ends after ${length.toFixed(1)} s, before the end it announces`,
      cure: 'What is there is judged; copy the recording again to get the rest.',
    },
  ];
}

const notWave = (name: string): Problem => ({
  code: 'take-not-wave',
  message: `${name} is not a WAV recording, or its beginning is damaged`,
  cure: 'Choose a WAV file.',
});

const tooLong = (name: string, length: Seconds): Problem => ({
  code: 'take-too-long',
  message: `${name} lasts ${Math.round(length / 60)} minutes; the most is ${LONGEST / 60}`,
  cure: 'Cut it to the pass you want to have judged.',
});

// Reads a recording: a WAVE file of any usual kind becomes one channel of numbers, or a sentence that says why not.
import wavefile from 'wavefile';
import { type Problem, type Result, fail, ok } from '../result.ts';
import type { SampleRate, Seconds } from '../units.ts';

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

interface Format {
  readonly audioFormat: number;
  readonly numChannels: number;
  readonly sampleRate: SampleRate;
  readonly bitsPerSample: number;
  readonly blockAlign: number;
  readonly subformat: readonly number[];
}

interface Data {
  readonly chunkSize: number;
  readonly samples: Uint8Array;
}

/** 8- to 32-bit and float files of one or more channels. Never throws. */
export function readTake(bytes: Uint8Array, name = 'the file'): Result<Take> {
  let file: InstanceType<typeof wavefile.WaveFile>;
  try {
    file = new wavefile.WaveFile(bytes);
  } catch {
    return fail(notWave(name));
  }
  const format = file.fmt as Format;
  const data = file.data as Data;
  const problem = unreadable(format, data.samples.length, name);
  if (problem) return fail(problem);
  const length = Math.floor(data.samples.length / format.blockAlign) / format.sampleRate;
  if (length > LONGEST) return fail(tooLong(name, length));
  const samples = decoded(data.samples, format);
  return ok({ samples, rate: format.sampleRate, length, remarks: remarks(data, length, name) });
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

/** The extended format hides its tag in the first bytes of its identifier. */
function readerOf({ audioFormat, bitsPerSample, subformat }: Format): ReadSample | undefined {
  const tag = audioFormat === 0xfffe ? (subformat[0] ?? 0) & 0xffff : audioFormat;
  return tag === 3 ? FLOATING[bitsPerSample] : tag === 1 ? WHOLE[bitsPerSample] : undefined;
}

/** The library's own conversion takes half a minute for ten megabytes; this takes a tenth of a second. */
function decoded(bytes: Uint8Array, format: Format): Float32Array {
  const read = readerOf(format)!;
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.length);
  const { blockAlign, numChannels } = format;
  const size = blockAlign / numChannels;
  return Float32Array.from({ length: Math.floor(bytes.length / blockAlign) }, (_, i) => {
    let sum = 0;
    for (let c = 0; c < numChannels; c++) sum += read(view, i * blockAlign + c * size);
    return Number.isFinite(sum) ? sum / numChannels : 0;
  });
}

/** WAVE format tags: 1 PCM, 3 IEEE float, 0xFFFE either of them with more to say (RIFF/WAVE). */
function unreadable(format: Format, bytes: number, name: string): Problem | null {
  const { audioFormat, sampleRate, blockAlign, numChannels, bitsPerSample } = format;
  if (!readerOf(format)) {
    return {
      code: 'take-compressed',
      message: `${name} holds sound that is not plain (WAVE format ${audioFormat}, ${bitsPerSample} bits)`,
      cure: 'Export it again as plain 16- or 24-bit WAV.',
    };
  }
  if (numChannels < 1 || blockAlign !== (numChannels * bitsPerSample) / 8) {
    return {
      code: 'take-damaged',
      message: `${name} contradicts itself: ${numChannels} channels of ${bitsPerSample} bits in ${blockAlign} bytes`,
      cure: 'Export it again.',
    };
  }
  if (!(sampleRate >= LEAST_RATE && sampleRate <= MOST_RATE)) {
    return {
      code: 'take-rate',
      message: `${name} has ${sampleRate} samples a second; the ear takes ${LEAST_RATE} to ${MOST_RATE}`,
      cure: 'Export it again at 44100 or 48000.',
    };
  }
  if (bytes < blockAlign) {
    return {
      code: 'take-empty',
      message: `${name} holds no sound`,
      cure: 'Record it again and wait until the recorder has saved it.',
    };
  }
  return null;
}

function remarks(data: Data, length: Seconds, name: string): readonly Problem[] {
  if (data.samples.length >= data.chunkSize) return [];
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

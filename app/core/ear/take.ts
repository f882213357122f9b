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
/** WAVE format tags: 1 PCM, 3 IEEE float, 0xFFFE either of them with more to say (RIFF/WAVE). */
const READ_TAGS = [1, 3, 0xfffe];

interface Format {
  readonly audioFormat: number;
  readonly numChannels: number;
  readonly sampleRate: SampleRate;
  readonly bitsPerSample: number;
  readonly blockAlign: number;
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
  // Copies: the library rewrites both when it converts.
  const format = { ...(file.fmt as Format) };
  const data = { ...(file.data as Data) };
  const problem = unreadable(format, data.samples.length, name);
  if (problem) return fail(problem);
  file.toBitDepth('32f');
  const samples = oneChannel(file.getSamples(false) as unknown);
  const length = samples.length / format.sampleRate;
  if (length > LONGEST) return fail(tooLong(name, length));
  return ok({ samples, rate: format.sampleRate, length, remarks: remarks(data, length, name) });
}

function oneChannel(channels: unknown): Float32Array {
  const all = (channels instanceof Float64Array ? [channels] : channels) as readonly Float64Array[];
  const first = all[0] ?? new Float64Array(0);
  return Float32Array.from(first, (_, i) => {
    const sum = all.reduce((s, channel) => s + (channel[i] ?? 0), 0) / all.length;
    return Number.isFinite(sum) ? sum : 0;
  });
}

function unreadable(format: Format, bytes: number, name: string): Problem | null {
  const { audioFormat, sampleRate, blockAlign } = format;
  if (!READ_TAGS.includes(audioFormat)) {
    return {
      code: 'take-compressed',
      message: `${name} holds compressed sound (WAVE format ${audioFormat})`,
      cure: 'Export it again as plain 16- or 24-bit WAV.',
    };
  }
  if (!(sampleRate >= LEAST_RATE && sampleRate <= MOST_RATE)) {
    return {
      code: 'take-rate',
      message: `${name} has ${sampleRate} samples a second; the ear takes ${LEAST_RATE} to ${MOST_RATE}`,
      cure: 'Export it again at 44100 or 48000.',
    };
  }
  if (bytes < blockAlign || blockAlign < 1) {
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

// A kit for tests: a decaying tone per drum and per note, in place of what Tone renders in the browser.
import {
  BASS_HIGH,
  BASS_LOW,
  type BandKit,
  DRUM_VOICES,
  type DrumVoice,
} from '../../app/core/band/model.ts';

function tone(hertz: number, seconds: number, decay: number, rate: number): Float32Array {
  return Float32Array.from({ length: Math.round(seconds * rate) }, (_, i) => {
    const t = (i + 1) / rate;
    return Math.exp(-t / decay) * Math.sin(2 * Math.PI * hertz * t);
  });
}

const made = new Map<number, BandKit>();

/** Made once for all tests; nobody changes it. */
export function testKit(sampleRate: number): BandKit {
  const kit = made.get(sampleRate) ?? makeKit(sampleRate);
  made.set(sampleRate, kit);
  return kit;
}

function makeKit(sampleRate: number): BandKit {
  const drums = Object.fromEntries(
    DRUM_VOICES.map((voice, i) => [voice, tone(200 + 150 * i, 0.3, 0.05, sampleRate)]),
  ) as Record<DrumVoice, Float32Array>;
  const bass = Array.from({ length: BASS_HIGH - BASS_LOW + 1 }, (_, i) =>
    tone(440 * 2 ** ((BASS_LOW + i - 69) / 12), 3, 1.2, sampleRate),
  );
  return { sampleRate, drums, bass };
}

/** One sample in the place of every sound: its frame can be read without doubt. */
export const sampleKit = (sampleRate: number): BandKit => ({
  sampleRate,
  drums: Object.fromEntries(DRUM_VOICES.map((voice) => [voice, new Float32Array([1])])) as Record<
    DrumVoice,
    Float32Array
  >,
  bass: Array.from({ length: BASS_HIGH - BASS_LOW + 1 }, () => new Float32Array([1])),
});

/** Samples as a page hands them over: base64 of their floats. */
export function samplesOf(text: string): Float32Array {
  const bytes = Buffer.from(text, 'base64');
  return new Float32Array(bytes.buffer.slice(bytes.byteOffset, bytes.byteOffset + bytes.length));
}

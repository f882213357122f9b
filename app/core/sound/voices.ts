// The five click voices as samples: pure functions of the sample rate, used live, in WAV files and by the ear.
import type { Hertz, SampleRate, Seconds } from '../base/units.ts';
import { CLICK_VOICES, type ClickVoice } from '../timeline/click-voices.ts';

/** One decaying sine: frequency, share of the whole, time to fall to 1/e. */
interface Partial {
  readonly hertz: Hertz;
  readonly gain: number;
  readonly decay: Seconds;
}

interface Recipe {
  readonly length: Seconds;
  readonly partials: readonly Partial[];
}

// Ours, tuned by ear and by two needs. Wood for the pulse (few, inharmonic, short partials; 2.7 is near
// the second mode of a free bar, 2.756): pitch falls from bar to beat, so the accent is not loudness alone.
// Brightness tells the rest: a tick for subdivisions, a low knock for the cue, a small bell for a change,
// a twelfth above the bar so that both stay apart when they sound together.
const RECIPES: Readonly<Record<ClickVoice, Recipe>> = {
  bar: {
    length: 0.07,
    partials: [
      { hertz: 1046, gain: 1, decay: 0.016 },
      { hertz: 2824, gain: 0.5, decay: 0.007 },
      { hertz: 5320, gain: 0.2, decay: 0.002 },
    ],
  },
  beat: {
    length: 0.05,
    partials: [
      { hertz: 784, gain: 1, decay: 0.012 },
      { hertz: 2117, gain: 0.4, decay: 0.005 },
      { hertz: 4200, gain: 0.15, decay: 0.0015 },
    ],
  },
  subdivision: {
    length: 0.02,
    partials: [
      { hertz: 2350, gain: 1, decay: 0.004 },
      { hertz: 5900, gain: 0.3, decay: 0.0015 },
    ],
  },
  cue: {
    length: 0.07,
    partials: [
      { hertz: 392, gain: 1, decay: 0.018 },
      { hertz: 1176, gain: 0.5, decay: 0.01 },
      { hertz: 3100, gain: 0.2, decay: 0.002 },
    ],
  },
  change: {
    length: 0.2,
    partials: [
      { hertz: 3136, gain: 1, decay: 0.05 },
      { hertz: 4704, gain: 0.45, decay: 0.035 },
      { hertz: 7900, gain: 0.2, decay: 0.012 },
    ],
  },
};

/** The last part of every voice is faded out, so that its end does not tick. */
const FADE: Seconds = 0.004;

/**
 * The samples of one voice, peak 1, heard from the very first sample on (so that a click's place in a
 * recording can be read to the sample). Partials above 0.45 × the sample rate are left out.
 * @throws RangeError unless 8,000 ≤ sampleRate ≤ 384,000.
 */
export function renderVoice(voice: ClickVoice, sampleRate: SampleRate): Float32Array {
  if (!(sampleRate >= 8_000 && sampleRate <= 384_000)) {
    throw new RangeError(
      `renderVoice: ${sampleRate} Hz is not a sample rate from 8,000 to 384,000`,
    );
  }
  const { length, partials } = RECIPES[voice];
  const out = new Float32Array(Math.round(length * sampleRate));
  for (const partial of partials) {
    if (partial.hertz < 0.45 * sampleRate) addPartial(out, partial, sampleRate);
  }
  fadeEnd(out, Math.round(FADE * sampleRate));
  return toPeakOne(out);
}

/** All five, for a player or a file writer. */
export function renderVoices(sampleRate: SampleRate): Record<ClickVoice, Float32Array> {
  const voices = CLICK_VOICES.map((voice) => [voice, renderVoice(voice, sampleRate)] as const);
  return Object.fromEntries(voices) as Record<ClickVoice, Float32Array>;
}

function addPartial(out: Float32Array, { hertz, gain, decay }: Partial, sampleRate: SampleRate) {
  for (let i = 0; i < out.length; i++) {
    const t = (i + 1) / sampleRate;
    out[i]! += gain * Math.exp(-t / decay) * Math.sin(2 * Math.PI * hertz * t);
  }
}

function fadeEnd(out: Float32Array, samples: number) {
  for (let i = 0; i < samples; i++) {
    const share = (i + 1) / samples;
    out[out.length - 1 - i]! *= 0.5 - 0.5 * Math.cos(Math.PI * share);
  }
}

function toPeakOne(out: Float32Array): Float32Array {
  const peak = out.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
  return out.map((x) => x / peak);
}

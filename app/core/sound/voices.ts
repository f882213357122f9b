// The click voices as samples: pure functions of the sample rate, used live, in WAVE files and by the ear.
import { eachOf } from '../base/each-of.ts';
import type { Hertz, SampleRate, Seconds } from '../base/units.ts';
import {
  CLICK_VOICES,
  type ClickTimbre,
  type ClickVoice,
  type PulseVoice,
} from '../timeline/click-voices.ts';
import { nextNoise } from './noise.ts';

/** One decaying sine: frequency, share of the whole, time to fall to 1/e. */
interface Partial {
  readonly hertz: Hertz;
  readonly gain: number;
  readonly decay: Seconds;
}

/** A decaying hiss without its low end. */
interface Hiss {
  readonly gain: number;
  readonly decay: Seconds;
}

interface Recipe {
  readonly length: Seconds;
  readonly partials: readonly Partial[];
  readonly hiss?: Hiss;
  readonly peak: number;
}

/** Played on the chosen timbre; the other voices are the same in all of them. */
type Played = Exclude<PulseVoice, 'count' | 'entrance' | 'rest'>;

/** Partials as ratios to the lowest: gain and decay for a bar; softer voices are shorter copies, lower in pitch. */
interface Instrument {
  /** Peak of its voices, so that all timbres are equally loud (ITU-R BS.1770; measured in a test). */
  readonly peak: number;
  readonly pitch: Readonly<Record<Played, Hertz>>;
  readonly partials: readonly (Omit<Partial, 'hertz'> & { readonly ratio: number })[];
  readonly hiss?: Hiss;
}

// Ours, by reasoning and measurement. The pulse falls in pitch from bar over group to beat, so that an
// accent is more than loudness; a subdivision is a short high tick. Wood: few short inharmonic partials
// (2.756 is the second mode of a free bar). Glass: long, nearly pure. Skin: a drum head's first modes
// (1.593, 2.136 of an ideal membrane, both from memory) under a slap of hiss.
const INSTRUMENTS: Readonly<Record<ClickTimbre, Instrument>> = {
  wood: {
    peak: 1,
    pitch: { bar: 1175, group: 988, beat: 831, subdivision: 2350 },
    partials: [
      { ratio: 1, gain: 1, decay: 0.016 },
      { ratio: 2.756, gain: 0.5, decay: 0.007 },
      { ratio: 5.4, gain: 0.2, decay: 0.002 },
    ],
  },
  glass: {
    peak: 0.6,
    pitch: { bar: 1760, group: 1397, beat: 1109, subdivision: 2637 },
    partials: [
      { ratio: 1, gain: 1, decay: 0.03 },
      { ratio: 2.32, gain: 0.25, decay: 0.012 },
      { ratio: 4.25, gain: 0.12, decay: 0.005 },
    ],
  },
  skin: {
    peak: 1,
    pitch: { bar: 523, group: 440, beat: 370, subdivision: 1480 },
    partials: [
      { ratio: 1, gain: 1, decay: 0.034 },
      { ratio: 1.593, gain: 0.5, decay: 0.02 },
      { ratio: 2.136, gain: 0.35, decay: 0.016 },
    ],
    hiss: { gain: 0.8, decay: 0.009 },
  },
};

// The count-in is two sticks: a dry, bright clack with much hiss; the last one rings higher and longer.
// A rest bar is a brush: hiss alone. Cue and change are small bells in fourth and octave above the pulse,
// nearly all of their energy above 800 Hz, where a small loudspeaker still speaks.
const COMMON: Readonly<Record<Exclude<ClickVoice, Played>, Omit<Recipe, 'peak'>>> = {
  count: {
    length: 0.06,
    partials: [
      { hertz: 1980, gain: 1, decay: 0.009 },
      { hertz: 3130, gain: 0.7, decay: 0.008 },
      { hertz: 5270, gain: 0.4, decay: 0.005 },
    ],
    hiss: { gain: 0.4, decay: 0.006 },
  },
  entrance: {
    length: 0.16,
    partials: [
      { hertz: 2640, gain: 1, decay: 0.035 },
      { hertz: 3960, gain: 0.6, decay: 0.02 },
      { hertz: 1320, gain: 0.5, decay: 0.02 },
    ],
    hiss: { gain: 0.6, decay: 0.005 },
  },
  rest: { length: 0.09, partials: [], hiss: { gain: 1, decay: 0.02 } },
  cue: {
    length: 0.12,
    partials: [
      { hertz: 1568, gain: 1, decay: 0.026 },
      { hertz: 2352, gain: 0.5, decay: 0.018 },
      { hertz: 4230, gain: 0.2, decay: 0.006 },
    ],
  },
  change: {
    length: 0.22,
    partials: [
      { hertz: 3136, gain: 1, decay: 0.055 },
      { hertz: 4704, gain: 0.45, decay: 0.035 },
      { hertz: 7900, gain: 0.2, decay: 0.012 },
    ],
  },
};

/** How a softer voice of an instrument differs from its bar: shorter, with fewer overtones. */
const SHORTER: Readonly<Record<Played, number>> = {
  bar: 1,
  group: 0.85,
  beat: 0.75,
  subdivision: 0.3,
};

function recipeOf(voice: ClickVoice, timbre: ClickTimbre): Recipe {
  if (voice !== 'bar' && voice !== 'group' && voice !== 'beat' && voice !== 'subdivision') {
    return { ...COMMON[voice], peak: 1 };
  }
  const { pitch, partials, hiss, peak } = INSTRUMENTS[timbre];
  const shorter = SHORTER[voice];
  return {
    peak,
    length: 5 * shorter * Math.max(...partials.map(({ decay }) => decay)),
    partials: partials.map(({ ratio, gain, decay }) => {
      return { hertz: ratio * pitch[voice], gain, decay: shorter * decay };
    }),
    ...(hiss && { hiss: { gain: hiss.gain, decay: shorter * hiss.decay } }),
  };
}

/** The last part of every voice is faded out, so that its end does not tick. */
const FADE: Seconds = 0.004;

/**
 * The samples of one voice, peak 1 or a little less, heard from the very first sample on (so that a click's place in a
 * recording can be read to the sample). Partials above 0.45 × the sample rate are left out.
 * @throws RangeError unless 8,000 ≤ sampleRate ≤ 384,000.
 */
export function renderVoice(
  voice: ClickVoice,
  sampleRate: SampleRate,
  timbre: ClickTimbre = 'wood',
): Float32Array {
  if (!(sampleRate >= 8_000 && sampleRate <= 384_000)) {
    throw new RangeError(
      `renderVoice: ${sampleRate} Hz is not a sample rate from 8,000 to 384,000`,
    );
  }
  const { length, partials, hiss, peak } = recipeOf(voice, timbre);
  const out = new Float32Array(Math.round(length * sampleRate));
  for (const partial of partials) {
    if (partial.hertz < 0.45 * sampleRate) addPartial(out, partial, sampleRate);
  }
  if (hiss) addHiss(out, hiss, sampleRate);
  fadeEnd(out, Math.round(FADE * sampleRate));
  return toPeak(out, peak);
}

/** All voices of one timbre, for a player or a file writer. */
export function renderVoices(
  sampleRate: SampleRate,
  timbre: ClickTimbre = 'wood',
): Record<ClickVoice, Float32Array> {
  return eachOf(CLICK_VOICES, (voice) => renderVoice(voice, sampleRate, timbre));
}

function addPartial(out: Float32Array, { hertz, gain, decay }: Partial, sampleRate: SampleRate) {
  for (let i = 0; i < out.length; i++) {
    const t = (i + 1) / sampleRate;
    out[i]! += gain * Math.exp(-t / decay) * Math.sin(2 * Math.PI * hertz * t);
  }
}

/** Noise less its own slow part (1.5 kHz and below); the same numbers every time. */
function addHiss(out: Float32Array, { gain, decay }: Hiss, sampleRate: SampleRate) {
  const slowness = Math.exp((-2 * Math.PI * 1500) / sampleRate);
  let state = 22_222;
  let slow = 0;
  for (let i = 0; i < out.length; i++) {
    state = nextNoise(state);
    const noise = state / 2 ** 31;
    slow = slowness * slow + (1 - slowness) * noise;
    out[i]! += gain * Math.exp(-(i + 1) / (decay * sampleRate)) * (noise - slow);
  }
}

function fadeEnd(out: Float32Array, samples: number) {
  for (let i = 0; i < samples; i++) {
    const share = (i + 1) / samples;
    out[out.length - 1 - i]! *= 0.5 - 0.5 * Math.cos(Math.PI * share);
  }
}

function toPeak(out: Float32Array, peak: number): Float32Array {
  const most = out.reduce((max, x) => Math.max(max, Math.abs(x)), 0);
  return out.map((x) => (peak * x) / most);
}

// The band's instruments: Tone's synths, filters and envelopes, played once into buffers and never again live.
import {
  Filter,
  Frequency,
  type InputNode,
  MembraneSynth,
  MetalSynth,
  MonoSynth,
  NoiseSynth,
  Offline,
  Synth,
} from 'tone';
import {
  BASS_HIGH,
  BASS_LOW,
  type BandKit,
  DRUM_VOICES,
  type DrumVoice,
} from '../../app/core/band/model.ts';
import { frameAt } from '../../app/core/sound/frames.ts';
import type { Gain, Hertz, SampleRate, Seconds } from '../../app/core/base/units.ts';

/** One drum: how long it is heard, how loud it is beside the others, and what is struck at a time. */
interface Drum {
  readonly lasts: Seconds;
  readonly peak: Gain;
  readonly strike: (out: InputNode, at: Seconds) => void;
}

/** Sounds lie this far apart in the rendering, so that none reaches into the next. */
const APART: Seconds = 0.05;
/** The end of every sound is faded, so that it does not tick. */
const FADE: Seconds = 0.02;
const BASS_LASTS: Seconds = 2.4;
const BASS_PEAK: Gain = 0.6;

// Ours, by reasoning from how the instruments sound: a falling tone for skins, hiss for wires and brushes,
// inharmonic metal for cymbals. Loudness is balanced afterwards by peak and by the player's levels.
const DRUMS: Readonly<Record<DrumVoice, Drum>> = {
  kick: {
    lasts: 0.45,
    peak: 0.9,
    strike: (out, at) => {
      skin(out, at, { hertz: 52, falls: 5, decay: 0.32 });
      hiss(out, at, { from: 1_800, decay: 0.012, level: 0.12 });
    },
  },
  snare: {
    lasts: 0.35,
    peak: 0.75,
    strike: (out, at) => {
      skin(out, at, { hertz: 190, falls: 1.2, decay: 0.12 });
      hiss(out, at, { from: 1_400, decay: 0.18, level: 0.9 });
    },
  },
  rim: {
    lasts: 0.12,
    peak: 0.5,
    strike: (out, at) => {
      knock(out, at, 820);
      hiss(out, at, { from: 2_600, decay: 0.02, level: 0.4 });
    },
  },
  hat: { lasts: 0.12, peak: 0.28, strike: (out, at) => metal(out, at, 0.07, 7_000) },
  'open-hat': { lasts: 0.5, peak: 0.3, strike: (out, at) => metal(out, at, 0.4, 6_500) },
  ride: { lasts: 0.9, peak: 0.24, strike: (out, at) => metal(out, at, 0.8, 4_500) },
  crash: {
    lasts: 1.8,
    peak: 0.45,
    strike: (out, at) => {
      metal(out, at, 1.5, 3_000);
      hiss(out, at, { from: 3_500, decay: 1.2, level: 0.5 });
    },
  },
  'tom-high': {
    lasts: 0.5,
    peak: 0.7,
    strike: (out, at) => skin(out, at, { hertz: 150, falls: 1.5, decay: 0.35 }),
  },
  'tom-low': {
    lasts: 0.6,
    peak: 0.75,
    strike: (out, at) => skin(out, at, { hertz: 96, falls: 1.5, decay: 0.45 }),
  },
  brush: {
    lasts: 0.4,
    peak: 0.22,
    strike: (out, at) => hiss(out, at, { from: 2_000, decay: 0.3, level: 1, swells: 0.06 }),
  },
  tap: {
    lasts: 0.2,
    peak: 0.4,
    strike: (out, at) => hiss(out, at, { from: 1_600, decay: 0.12, level: 1 }),
  },
};

function skin(
  out: InputNode,
  at: Seconds,
  { hertz, falls, decay }: { hertz: Hertz; falls: number; decay: Seconds },
): void {
  const envelope = { attack: 0.001, decay, sustain: 0, release: 0.01 };
  const synth = new MembraneSynth({ pitchDecay: 0.03, octaves: falls, envelope }).connect(out);
  synth.triggerAttackRelease(hertz, decay, at);
}

interface HissSound {
  /** Only what lies above is heard. */
  readonly from: Hertz;
  readonly decay: Seconds;
  readonly level: Gain;
  readonly swells?: Seconds;
}

function hiss(
  out: InputNode,
  at: Seconds,
  { from, decay, level, swells = 0.001 }: HissSound,
): void {
  const filter = new Filter({ type: 'highpass', frequency: from, rolloff: -12 }).connect(out);
  const envelope = { attack: swells, decay, sustain: 0, release: 0.01 };
  const synth = new NoiseSynth({ noise: { type: 'white' }, envelope }).connect(filter);
  synth.triggerAttackRelease(decay + swells, at, level);
}

function metal(out: InputNode, at: Seconds, decay: Seconds, from: Hertz): void {
  const filter = new Filter({ type: 'highpass', frequency: from, rolloff: -12 }).connect(out);
  const synth = new MetalSynth({
    envelope: { attack: 0.001, decay, release: 0.01 },
    harmonicity: 5.1,
    modulationIndex: 28,
    resonance: from,
    octaves: 1.2,
  }).connect(filter);
  synth.triggerAttackRelease(260, decay, at);
}

function knock(out: InputNode, at: Seconds, hertz: Hertz): void {
  const envelope = { attack: 0.001, decay: 0.04, sustain: 0, release: 0.01 };
  const synth = new Synth({ oscillator: { type: 'triangle' }, envelope }).connect(out);
  synth.triggerAttackRelease(hertz, 0.04, at);
}

/** A plucked electric bass: a saw tooth through a filter that closes as the string dies away. */
const bassVoice = (out: InputNode): MonoSynth =>
  new MonoSynth({
    oscillator: { type: 'sawtooth' },
    filter: { type: 'lowpass', rolloff: -24, Q: 1.2 },
    envelope: { attack: 0.004, decay: 1.6, sustain: 0.12, release: 0.05 },
    filterEnvelope: {
      attack: 0.002,
      decay: 0.5,
      sustain: 0.15,
      release: 0.1,
      baseFrequency: 110,
      octaves: 3.4,
    },
  }).connect(out);

/** Renders every sound at the given rate; takes the browser a second or two, none of it on the main thread. */
export async function renderKit(sampleRate: SampleRate): Promise<BandKit> {
  const drums = await renderDrums(sampleRate);
  const bass = await renderBass(sampleRate);
  return { sampleRate, drums, bass };
}

async function renderDrums(rate: SampleRate): Promise<BandKit['drums']> {
  let at: Seconds = 0;
  const places = DRUM_VOICES.map((voice) => {
    const place = { voice, from: at, lasts: DRUMS[voice].lasts };
    at += place.lasts + APART;
    return place;
  });
  const buffer = await Offline(
    ({ destination }) => {
      for (const { voice, from } of places) DRUMS[voice].strike(destination, from);
    },
    at,
    1,
    rate,
  );
  const samples = buffer.getChannelData(0);
  const cut = places.map(
    ({ voice, from, lasts }) =>
      [voice, sound(samples, from, lasts, rate, DRUMS[voice].peak)] as const,
  );
  return Object.fromEntries(cut) as Record<DrumVoice, Float32Array>;
}

async function renderBass(rate: SampleRate): Promise<BandKit['bass']> {
  const notes = Array.from({ length: BASS_HIGH - BASS_LOW + 1 }, (_, i) => BASS_LOW + i);
  const each = BASS_LASTS + APART;
  const buffer = await Offline(
    ({ destination }) => {
      const synth = bassVoice(destination);
      notes.forEach((midi, i) => {
        synth.triggerAttackRelease(
          Frequency(midi, 'midi').toFrequency(),
          BASS_LASTS - 0.1,
          i * each,
        );
      });
    },
    notes.length * each,
    1,
    rate,
  );
  const samples = buffer.getChannelData(0);
  return notes.map((_, i) => sound(samples, i * each, BASS_LASTS, rate, BASS_PEAK));
}

/** A copy of one sound, its end faded, at its peak. */
function sound(
  all: Float32Array,
  from: Seconds,
  lasts: Seconds,
  rate: SampleRate,
  peak: Gain,
): Float32Array {
  const start = frameAt(from, rate);
  const out = all.slice(start, start + frameAt(lasts, rate));
  const fade = frameAt(FADE, rate);
  for (let i = 0; i < fade; i++) out[out.length - 1 - i]! *= i / fade;
  const loudest = out.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
  return loudest > 0 ? out.map((x) => (peak * x) / loudest) : out;
}

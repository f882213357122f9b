// What drums and bass do in one lap: events with an exact place, and the sounds they ask for.
import type { UnitKind } from '../model/unit.ts';
import type { Rational } from '../base/rational.ts';
import type { Gain, Midi, SampleRate, Seconds } from '../base/units.ts';

/** What is played through with a band, in the order in which a chart offers it. */
export const SONG_KINDS = ['section', 'join', 'form'] as const satisfies readonly UnitKind[];

export const DRUM_VOICES = [
  'kick',
  'snare',
  'rim',
  'hat',
  'open-hat',
  'ride',
  'crash',
  'tom-high',
  'tom-low',
  'brush',
  'tap',
] as const;
export type DrumVoice = (typeof DRUM_VOICES)[number];

/** Times are from the start of the lap; `at` is the same in quarter notes, swing applied. */
export interface DrumHit {
  readonly at: Rational;
  readonly seconds: Seconds;
  readonly voice: DrumVoice;
  readonly gain: Gain;
}

export interface BassNote {
  readonly at: Rational;
  readonly seconds: Seconds;
  /** Where the string is stopped. */
  readonly until: Seconds;
  /** Sounding, E1 (28) to C3 (48). */
  readonly midi: Midi;
  readonly gain: Gain;
}

export interface BandLap {
  /** By time. */
  readonly drums: readonly DrumHit[];
  readonly bass: readonly BassNote[];
}

export const NO_BAND: BandLap = { drums: [], bass: [] };

/** Lowest and highest note of the bass. */
export const BASS_LOW: Midi = 28;
export const BASS_HIGH: Midi = 48;

/** The band's sounds, rendered once: every drum, and every note of the bass, peak 1 or less. */
export interface BandKit {
  readonly sampleRate: SampleRate;
  readonly drums: Readonly<Record<DrumVoice, Float32Array>>;
  /** From {@link BASS_LOW} upward. */
  readonly bass: readonly Float32Array[];
}

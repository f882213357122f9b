// Unit names for numbers that cross a module border. Aliases, not brands: arithmetic stays plain.

/** Beats per minute, always of a stated beat unit (see {@link BeatUnit}). 20–400 in this program. */
export type Bpm = number;
/** Seconds, or a span of seconds. */
export type Seconds = number;
/** Milliseconds. */
export type Milliseconds = number;
/** A count or position in audio samples (integer unless a text says otherwise). */
export type Samples = number;
/** Samples per second. */
export type SampleRate = number;
/** Frequency in hertz. */
export type Hertz = number;
/** Hundredths of an equal-tempered semitone. */
export type Cents = number;
/** MIDI 1.0 note number, 0–127; 69 is A4 = 440 Hz (ISO 16:1975). */
export type Midi = number;
/** Steps of equal temperament, twelve to an octave. */
export type Semitones = number;
/** Pitch class, 0–11, C = 0. */
export type PitchClass = number;
/** Fret number, 0 (open, or at the capo) upward. */
export type Fret = number;
/** String number, 1 (highest sounding) to 6 (lowest). */
export type StringNo = number;
/** Left-hand finger 1–4, or 'T' for the thumb. */
export type Finger = 1 | 2 | 3 | 4 | 'T';
/** Millimetres. */
export type Millimetres = number;
/** Linear gain, 0–1. */
export type Gain = number;
/** Decibels relative to full scale. */
export type Decibels = number;
/** Share or probability, 0–1. */
export type Share = number;
/** ISO 8601 date and time with offset, e.g. `2031-04-05T18:20:00.000+02:00`. */
export type IsoTime = string;
/** ISO 8601 calendar date, e.g. `2031-04-05`. */
export type IsoDate = string;

/** Note value that a tempo counts. The dotted ones serve compound time. */
export const BEAT_UNITS = [
  'half',
  'dotted-half',
  'quarter',
  'dotted-quarter',
  'eighth',
  'dotted-eighth',
] as const;
export type BeatUnit = (typeof BEAT_UNITS)[number];

/** Lowest and highest tempo that a chart or ladder may name. */
export const MIN_BPM: Bpm = 20;
export const MAX_BPM: Bpm = 400;

/** The nearest tempo from {@link MIN_BPM} to {@link MAX_BPM}. */
export const withinTempos = (bpm: Bpm): Bpm => Math.min(MAX_BPM, Math.max(MIN_BPM, bpm));

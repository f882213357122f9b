// How loud each kind of sound is beside the others: the names of the levels, and the balance they start with.
import type { Gain } from '../base/units.ts';
import type { ClickVoice } from '../timeline/click-voices.ts';

/** What a player can turn up and down. */
export const LEVEL_NAMES = [
  'count',
  'bar',
  'beat',
  'subdivision',
  'rest',
  'cue',
  'change',
  'model',
  'drums',
  'bass',
] as const;
export type LevelName = (typeof LEVEL_NAMES)[number];

/** 0 (silent) to 1. */
export type Levels = Readonly<Record<LevelName, Gain>>;

/**
 * Balanced by loudness (ITU-R BS.1770, measured in the tests and printed in the bench): a change is no
 * softer than a beat, the model guitar and the band lie within 3 dB of the click, rest bars well below.
 */
export const USUAL_LEVELS: Levels = {
  count: 1,
  bar: 1,
  beat: 0.8,
  subdivision: 0.45,
  rest: 0.2,
  cue: 0.55,
  change: 0.5,
  model: 0.65,
  drums: 0.8,
  bass: 0.95,
};

const LEVEL_OF: Readonly<Record<ClickVoice, LevelName>> = {
  entrance: 'count',
  count: 'count',
  bar: 'bar',
  group: 'beat',
  beat: 'beat',
  rest: 'rest',
  subdivision: 'subdivision',
  cue: 'cue',
  change: 'change',
};

/** The level that a click voice follows. */
export const levelOf = (voice: ClickVoice): LevelName => LEVEL_OF[voice];

// What sounds and shows when: the timed events of one lap (count-in, the unit's bars, rest bars).
import type { Meter } from '../model/chart.ts';
import type { Chord } from '../model/chord.ts';
import type { Rational } from '../base/rational.ts';
import type { PaceStretch } from '../model/unit.ts';
import type { ClickTimbre, ClickVoice } from './click-voices.ts';
import type { LapPart } from './timed-bars.ts';
import type { Bpm, Seconds } from '../base/units.ts';

/** One bar, two bars, or two bars of which the first counts half as densely. None plays straight on. */
export const COUNT_INS = ['none', 'one', 'two', 'half-then-full'] as const;
export type CountIn = (typeof COUNT_INS)[number];

/**
 * Which beats of the unit's bars click; count-in and rest bars have voices of their own. What a pattern
 * silences it silences whole: a change or cue in a gap would give the beat away.
 */
export type ClickPattern =
  | { readonly kind: 'every-beat' }
  | { readonly kind: 'two-and-four' }
  | { readonly kind: 'off-beats' }
  | { readonly kind: 'bar-starts' }
  /** Every `every`-th bar is silent. */
  | { readonly kind: 'gaps'; readonly every: number }
  /** After each `sounding` bars a gap that grows by one bar each time, up to `longest`. */
  | { readonly kind: 'growing-gaps'; readonly sounding: number; readonly longest: number }
  /** Every click displaced by this many quarter notes (0–1): the player must hold the beat against it. */
  | { readonly kind: 'displaced'; readonly by: Rational };

export interface LapOptions {
  readonly countIn: CountIn;
  /** 0–4 bars after the unit, in the meter of its last bar. */
  readonly restBars: number;
  readonly click: ClickPattern;
  /**
   * Clicks between beats: 1 none, 2 halves, 3 thirds, 4 quarters. In meters counted in eighths or
   * sixteenths 2 and 3 both sound the printed unit, and 4 halves it. Beats longer than 60/33 s
   * (33 bpm) are subdivided in any case.
   */
  readonly subdivision: 1 | 2 | 3 | 4;
  /** Beats before a change at which its cue sounds, 0–8; 0 is no cue. */
  readonly cueBeats: number;
  /** Do changes sound their own voice? */
  readonly markChanges: boolean;
  /** How the beats of the rest bars sound. @default 'soft' */
  readonly rest?: 'soft' | 'silent' | undefined;
  /** What the unit's pulse is played on. @default 'wood' */
  readonly timbre?: ClickTimbre | undefined;
}

/** Something that happens at one moment. Several may share a moment; a voice rule decides what is heard. */
export interface LapEvent {
  readonly kind: 'bar' | 'beat' | 'subdivision' | 'cue' | 'change';
  readonly part: LapPart;
  /** Quarter notes from the start of the lap, swing applied. Exact. */
  readonly at: Rational;
  /** From the start of the lap: one multiplication per stretch of constant tempo. */
  readonly seconds: Seconds;
  /** Index into {@link Lap.bars}. */
  readonly bar: number;
  /** Beat within the bar, from 1; a change between beats has its beat's number. */
  readonly beat: number;
  /** Is it to be heard? The gap patterns keep silent events, so that the ear can judge them. */
  readonly audible: boolean;
  /** The voice it sounds with, where that is not the one named like its kind. */
  readonly voice?: ClickVoice;
  /** For 'change' and 'cue': the chord that sounds from then on, and the one before it. */
  readonly chord?: Chord;
  readonly from?: Chord;
}

export interface LapBar {
  readonly part: LapPart;
  /** Index into the unit's bars; absent in count-in and rest bars. */
  readonly unitBar?: number;
  readonly meter: Meter;
  readonly at: Rational;
  readonly seconds: Seconds;
  readonly length: Rational;
  /** How many beats begin in it; a pickup or a count-in that a pickup completes has fewer than its meter. */
  readonly beats: number;
  /** What its first beat is counted as: 1, except where a pickup starts later in the meter. */
  readonly firstBeat: number;
  /** Index of its first beat in {@link Lap.beats}. */
  readonly beatIndex: number;
  /** Length of a quarter note here. */
  readonly quarter: Seconds;
  /** Where the bar slows down, speeds up or is held; see `secondsInBar`. */
  readonly pace?: readonly PaceStretch[];
}

/** One lap at one tempo. Times are from the lap's own start; the player adds the audio clock. */
export interface Lap {
  readonly bpm: Bpm;
  readonly timbre: ClickTimbre;
  /** By time; at one moment in the order bar, beat, subdivision, cue, change. */
  readonly events: readonly LapEvent[];
  /** The 'change' events alone, by time. */
  readonly changes: readonly LapEvent[];
  /** Every beat's moment, silent ones too, by time. */
  readonly beats: readonly Seconds[];
  readonly bars: readonly LapBar[];
  /** The chord that goes on sounding into the unit, if no change stands at its start. */
  readonly opening?: Chord;
  /** Where the unit starts and ends, and where the whole lap ends. */
  readonly unitStart: Seconds;
  readonly unitEnd: Seconds;
  readonly end: Seconds;
}

// The words of the fresh set: a take, its changes, the hands and every string that sounds.
import type { Cents, Midi, Seconds, StringNo } from '../../../app/core/base/units.ts';
import type { Expectation } from '../../../app/core/ear/model.ts';
import type { Voicing } from '../../../app/core/units/hands/hands.ts';
import type { Source } from '../ear-set/bank.ts';
import type { Deed, Player } from '../ear-set/plan.ts';
import type { Setting } from './charts.ts';
import type { Room } from './rooms.ts';

/**
 * The first two may be looked at while something is chosen, and the second of them is drawn harder than people play; the
 * others are looked at once.
 */
export const PARTS = ['fresh-a', 'choose', 'fresh-b', 'fresh-c', 'fresh-d'] as const;
export type Part = (typeof PARTS)[number];

export interface Guitar {
  readonly source: Source;
  /** Strings in pairs: the four lower ones with their octave, the two higher ones with their like. */
  readonly pairs?: true;
  /** How hard its amplifier is driven, lowest and highest; none is no amplifier. It has valves unless it says otherwise. */
  readonly drive?: readonly [number, number];
  readonly transistors?: true;
}

/**
 * What a take has more of than people play: lone dead strings, quiet strings, tones too many, fast eighths. `everyday`
 * has more of what they do play.
 */
export type Lean = 'usual' | 'lone' | 'quiet' | 'extra' | 'fast' | 'everyday';

/** A change as it is judged: what was due, and what was done. */
export interface TrueChange {
  readonly due: Seconds;
  /** When its first string began; null where nothing was struck. */
  readonly played: Seconds | null;
  readonly until: Seconds;
  readonly deed: Deed;
  readonly to: { readonly strings: Voicing };
  /** Strings that were dead or half pressed, or that sounded too many. */
  readonly atFault: readonly StringNo[];
}

export interface FreshPlan {
  readonly id: string;
  readonly seed: number;
  readonly part: Part;
  /** Guitar and room by name. */
  readonly timbre: string;
  readonly level: Room;
  readonly player: Player;
  readonly hand: Hand;
  readonly setting: Setting;
  /** The chart as it is typed. */
  readonly text: string;
  readonly shapesKnown: boolean;
  readonly detune: Cents;
  readonly expectation: Expectation;
  readonly beat: Seconds;
  readonly changes: readonly TrueChange[];
  readonly sounding: readonly Sounding[];
  readonly length: Seconds;
}

/** What is done at one change. */
export interface Done {
  readonly deed: Deed;
  /** What the left hand holds. */
  readonly held: Voicing;
  /** Strings, 0 the lowest, that thud, and that die at once. */
  readonly dead: readonly number[];
  readonly weak: readonly number[];
  /** One that should be silent. */
  readonly ringing?: number;
}

/** How one player plays. */
export interface Hand {
  readonly style: 'usual' | 'quick' | 'slow' | 'together' | 'broken';
  /** Finger-picked, string after string, within half a second. */
  readonly broken: boolean;
  /** From the first to the last string of a stroke. */
  readonly spread: Seconds;
  /** Before a new chord the left hand is off the strings so long. */
  readonly lifts: Seconds;
  /** Open strings that the next chord has not ring on. */
  readonly ringsOn: boolean;
  /** Up-strokes reach all strings. */
  readonly fullUp: boolean;
  /** Up-strokes leave out only strings whose tones others have. */
  readonly whole?: true;
  /** A guitar turned round for the left hand, its strings where they were: down-strokes begin with the highest. */
  readonly turned?: true;
  /** How hard the softest and the hardest string are plucked beside each other. */
  readonly balance: readonly [number, number];
}

/** One string from pluck to end. */
export interface Sounding {
  readonly at: Seconds;
  readonly string: number;
  readonly midi: Midi;
  /** 1 is hard. */
  readonly force: number;
  /** When it is stopped or struck again; Infinity rings out. */
  readonly until: Seconds;
  /** Seconds in which it then falls to 1/e. */
  readonly fall: Seconds;
  /** A dead string thuds so much beside its tone; a half-pressed one buzzes. */
  readonly thud: number;
  readonly buzz: number;
}

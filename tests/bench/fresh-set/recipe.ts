// What a room is made of, and what a home is: the words of rooms.ts and of those of each part.
import type { Seconds } from '../../../app/core/base/units.ts';
import type { Expectation } from '../../../app/core/ear/model.ts';

export type Range = readonly [number, number];

export interface Recipe<Noise> {
  /** Time for the room to fall by 60 dB, and its energy beside the direct sound, dB. */
  readonly rings: Range;
  readonly wet: Range;
  /** How much of the high tones its walls swallow, 0 (tiles) to 1; {@link USUAL_WALLS} where it says nothing. */
  readonly swallows?: Range;
  /** What else sounds, dB below the guitar (root mean square over the take). */
  readonly beside?: { readonly kind: Noise; readonly level: Range };
  /** The microphone's own hiss, likewise. */
  readonly hiss: Range;
  /** Peak of the click beside the guitar's peak, dB; it stands so far away. */
  readonly clicks?: { readonly level: Range; readonly way: readonly [Seconds, Seconds] };
  /** Hertz below and above which the microphone hears less (6 dB an octave). */
  readonly hears: { readonly low: Range; readonly high: Range };
  /** A recorder that sets its level by itself: how fast down and up, and how much of what is too loud it takes, 0–1. */
  readonly automatic?: Automatic;
}

export const USUAL_WALLS: Range = [0.25, 0.6];

export interface Automatic {
  readonly down: Seconds;
  readonly up: Seconds;
  readonly takes: number;
}

/** What sounds at home beside a guitar: a room, and what its loudspeaker may play of the chart. */
export interface Home<Room> {
  readonly room: Room;
  readonly expectation: Expectation;
}

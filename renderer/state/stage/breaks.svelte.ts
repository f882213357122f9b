// The break reminder of this window: counts playing across climbs and suggests five minutes between them.
import {
  afterBreak,
  BREAK_MINUTES,
  type BreakClock,
  breakDue,
  declined,
  FRESH_CLOCK,
  playedFor,
  playingFrom,
} from '../../../app/core/ladder/break-clock.ts';
import { climbed } from '../../../app/core/ladder/climbed.ts';
import type { Seconds } from '../../../app/core/base/units.ts';
import type { Climb } from '../climb/climb.svelte.ts';

export interface BreaksAround {
  readonly now: () => Seconds;
  /** Minutes of playing between two breaks. */
  readonly every: () => number;
  /** Suggests a break in words; `take` is to be called if it is taken. */
  readonly suggest: (words: string, take: () => void) => void;
}

export class Breaks {
  readonly #around: BreaksAround;
  #clock = $state.raw<BreakClock>(FRESH_CLOCK);

  constructor(around: BreaksAround) {
    this.#around = around;
  }

  get clock(): BreakClock {
    return this.#clock;
  }

  /** A queue keeps the clock while it runs. */
  set = (clock: BreakClock): void => {
    this.#clock = clock;
  };

  /** Counts a climb that is no part of a queue; returns the function that stops counting. */
  follow = (climb: Climb): (() => void) => {
    this.#clock = playingFrom(this.#clock, this.#around.now());
    return climb.onEffect((effect) => {
      if (effect.kind === 'finished') this.#ended(climb);
    });
  };

  #ended(climb: Climb): void {
    const now = this.#around.now();
    const played = climbed(climb.state, now);
    this.#clock = playedFor(this.#clock, played, now);
    const hurts = climb.state.finished?.reason === 'hurts';
    if (hurts || !breakDue(this.#clock, this.#around.every())) return;
    const minutes = Math.round(this.#clock.played / 60);
    // Until it is taken it counts as declined, so that it is not said after every short climb.
    this.#clock = declined(this.#clock);
    this.#around.suggest(breakWords(minutes), () => this.set(afterBreak(this.#clock)));
  }
}

/** The suggestion; general care, no medical advice. */
const breakWords = (played: number): string =>
  `You have played for ${played} minutes. Put the guitar down for ${BREAK_MINUTES}, and let shoulders, wrists and fingers hang loose.`;

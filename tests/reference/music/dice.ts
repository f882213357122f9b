// Luck that repeats, for charts drawn from a seed: mulberry32 (public domain; from memory).

export class Dice {
  #state: number;

  constructor(seed: number) {
    this.#state = seed | 0;
  }

  /** From 0 up to 1. */
  roll(): number {
    this.#state = (this.#state + 0x6d2b_79f5) | 0;
    let t = Math.imul(this.#state ^ (this.#state >>> 15), 1 | this.#state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  }

  /** True that often. */
  falls(share: number): boolean {
    return this.roll() < share;
  }

  /** Both ends included. */
  whole(from: number, to: number): number {
    return from + Math.floor(this.roll() * (to - from + 1));
  }

  one<T>(of: readonly T[]): T {
    return of[Math.floor(this.roll() * of.length)]!;
  }
}

// The partner's waits, which are seen: so many seconds until its step is taken by itself.
import type { Seconds } from '../../../app/core/base/units.ts';

/** How long the partner waits for each answer (ours, no source). */
const WAITS = {
  /** Where it broke. */
  where: 8,
  /** Once that is said, for another wish than the step it offers. */
  wish: 4,
  /** At the end of a drill or a piece, whether it held. */
  held: 6,
} as const satisfies Readonly<Record<string, Seconds>>;

export class Wait {
  readonly #now: () => Seconds;
  #until: Seconds | undefined;
  #left = $state<Seconds>();

  /** @param now a clock that only goes forward */
  constructor(now: () => Seconds) {
    this.#now = now;
  }

  /** Whole seconds; undefined while nothing is waited for. */
  get left(): Seconds | undefined {
    return this.#left;
  }

  /** Begins, or begins again. */
  start(forWhat: keyof typeof WAITS): void {
    this.#until = this.#now() + WAITS[forWhat];
    this.#left = WAITS[forWhat];
  }

  end(): void {
    this.#until = undefined;
    this.#left = undefined;
  }

  /** Counts down to now. Returns whether the time is over. */
  tick(): boolean {
    if (this.#until === undefined) return false;
    const left = this.#until - this.#now();
    this.#left = Math.max(0, Math.ceil(left));
    return left <= 0;
  }
}

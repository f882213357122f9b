// A wait that is seen: so many seconds until something happens by itself.
import type { Seconds } from '../../../app/core/base/units.ts';

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
  start(seconds: Seconds): void {
    this.#until = this.#now() + seconds;
    this.#left = seconds;
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

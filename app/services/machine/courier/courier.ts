// Goes between the copy in the data folder and the place outside: when, how often, and never two at once.
import type { Problem } from '../../../core/base/result.ts';
import type { IsoTime } from '../../../core/base/units.ts';
import { isoTimeOf } from '../../../core/base/iso-time.ts';
import { troubleOf } from './troubles.ts';
import { type Meeting, meet, type Outcome } from './sync.ts';

export interface CourierOptions {
  readonly now: () => Date;
  /** What the next meeting is about; a problem where it cannot be held. */
  readonly prepare: (signal: AbortSignal) => Promise<Omit<Meeting, 'signal'>>;
  /** After each meeting that changed something here or in what is told. */
  readonly told: (outcome: Outcome) => void;
}

export interface CourierState {
  readonly working: boolean;
  /** When both sides last agreed. */
  readonly agreedAt?: IsoTime;
  /** Files of others that everybody can read though the folder is locked. */
  readonly open: number;
  readonly flawed: readonly string[];
  /** Why part of it is left alone. */
  readonly closed?: Problem;
  readonly trouble?: Problem;
  /** It is tried again by itself. */
  readonly triesAgain: boolean;
}

/** Milliseconds: between two looks, and after a failure the first and the longest wait. */
const USUAL_MS = 60_000;
const FIRST_WAIT_MS = 5_000;
const LONGEST_WAIT_MS = 15 * 60_000;
/** What is written in one go travels in one go. */
const SOON_MS = 300;

export class Courier {
  readonly #options: CourierOptions;
  readonly #closing = new AbortController();
  #timer: NodeJS.Timeout | undefined;
  #running: Promise<void> | undefined;
  #next: Promise<void> | undefined;
  #askedMeanwhile = false;
  #failures = 0;
  #last: Outcome | undefined;
  #agreedAt: IsoTime | undefined;

  constructor(options: CourierOptions) {
    this.#options = options;
  }

  get state(): CourierState {
    const { open = 0, flawed = [], closed, trouble } = this.#last ?? {};
    return {
      working: this.#running !== undefined,
      ...(this.#agreedAt === undefined ? {} : { agreedAt: this.#agreedAt }),
      ...{ open, flawed, triesAgain: trouble?.remedy !== 'told' },
      ...(closed ? { closed } : {}),
      ...(trouble ? { trouble: trouble.problem } : {}),
    };
  }

  /** Something was written here. A wait after a failure is not cut short by it. */
  soon(): void {
    if (this.#running) this.#askedMeanwhile = true;
    else if (this.#failures === 0) this.#in(SOON_MS);
  }

  /** Meets now, whatever failed before. Where a meeting runs, the next one is waited for: what was written since goes with it. */
  meet(): Promise<void> {
    if (this.#running) return (this.#next ??= this.#running.then(() => this.meet()));
    this.#next = undefined;
    clearTimeout(this.#timer);
    this.#running = this.#meetOnce().finally(() => {
      this.#running = undefined;
      this.#planNext();
    });
    return this.#running;
  }

  /** What is on its way is cut off; it goes again whole when the program starts next. */
  close(): void {
    this.#closing.abort();
    clearTimeout(this.#timer);
  }

  async #meetOnce(): Promise<void> {
    const { signal } = this.#closing;
    const outcome = await this.#options
      .prepare(signal)
      .then((meeting) => meet({ ...meeting, signal }), neverBegan);
    if (signal.aborted) return;
    this.#last = outcome;
    this.#failures = outcome.trouble ? this.#failures + 1 : 0;
    if (!outcome.trouble) this.#agreedAt = isoTimeOf(this.#options.now());
    this.#options.told(outcome);
  }

  #planNext(): void {
    const again = this.#askedMeanwhile;
    this.#askedMeanwhile = false;
    if (this.#last?.trouble?.remedy === 'told') return;
    if (this.#failures > 0) return this.#in(waitAfter(this.#failures));
    this.#in(again ? SOON_MS : USUAL_MS);
  }

  #in(milliseconds: number): void {
    if (this.#closing.signal.aborted) return;
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => void this.meet(), milliseconds);
    this.#timer.unref();
  }
}

const neverBegan = (error: unknown): Outcome => ({
  ...{ changed: 0, sent: 0, open: 0, flawed: [] },
  trouble: troubleOf(error, 'The shared folder'),
});

/** Twice as long each time, and not for all computers at the same moment. */
const waitAfter = (failures: number): number =>
  Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** (failures - 1)) * (0.75 + Math.random() / 4);

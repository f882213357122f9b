// Sees judged passes onto the disk, one recorder for the whole window: kept in memory and tried again until they are.
import type { CallInput, Services } from '../../../app/services/contract/contract.ts';
import type { StandingProblem } from '../../../app/services/contract/host.ts';
import type { LogEntry } from '../../../app/core/model/pass.ts';
import type { IsoTime, Milliseconds } from '../../../app/core/base/units.ts';

export interface RecorderSurroundings {
  readonly services: Pick<Services, 'call'>;
  readonly isoNow: () => IsoTime;
  /** Runs `action` later; returns the function that calls it off. */
  readonly later: (wait: Milliseconds, action: () => void) => () => void;
  /** Takes what is written into the log that the view holds. */
  readonly keep: (entries: readonly LogEntry[]) => void;
  /** They are on the machine side now. */
  readonly written: () => void;
}

/** Soon at first, then at most every half minute (common practice, no source). */
const RETRY_MS = [1000, 2000, 5000, 10_000, 30_000] as const;

export class PassRecorder {
  readonly #around: RecorderSurroundings;
  #waiting = $state.raw<readonly LogEntry[]>([]);
  #trouble = $state.raw<StandingProblem | null>(null);
  #sending = false;
  #failures = 0;
  #since: IsoTime | null = null;
  #callOff: (() => void) | null = null;

  constructor(around: RecorderSurroundings) {
    this.#around = around;
  }

  /** Entries that the machine side has not confirmed yet. */
  get waiting(): readonly LogEntry[] {
    return this.#waiting;
  }

  /** Stands until every judged pass is saved. */
  get trouble(): StandingProblem | null {
    return this.#trouble;
  }

  /** Sends the entry at once, after any that still wait. */
  append = (entry: LogEntry): void => {
    this.#around.keep([entry]);
    this.#waiting = [...this.#waiting, entry];
    void this.#send();
  };

  /** Tries again now, e.g. when the player says that the disk has room. */
  retry = (): void => {
    this.#callOff?.();
    this.#callOff = null;
    void this.#send();
  };

  async #send(): Promise<void> {
    if (this.#sending || this.#waiting.length === 0) return;
    this.#sending = true;
    const entries = this.#waiting;
    try {
      // Entries the machine side keeps because its disk refuses them are safe with it, and it says so itself.
      await this.#around.services.call('log.append', { entries: open(entries) });
      this.#waiting = this.#waiting.slice(entries.length);
      this.#around.written();
      this.#failures = 0;
      this.#since = null;
      this.#trouble = null;
    } catch (error) {
      this.#failed(error);
    }
    this.#sending = false;
    if (this.#failures === 0) await this.#send();
  }

  #failed(error: unknown): void {
    const wait = RETRY_MS[Math.min(this.#failures, RETRY_MS.length - 1)] as Milliseconds;
    this.#failures += 1;
    this.#since ??= this.#around.isoNow();
    this.#trouble = unsaved(this.#waiting.length, this.#since, error);
    this.#callOff?.();
    this.#callOff = this.#around.later(wait, this.retry);
  }
}

/** The contract's entries admit fields of later versions; ours have none, which TypeScript cannot see. */
const open = (entries: readonly LogEntry[]): CallInput<'log.append'>['entries'] =>
  entries as CallInput<'log.append'>['entries'];

function unsaved(count: number, since: IsoTime, error: unknown): StandingProblem {
  const why = error instanceof Error ? ` (${error.message})` : '';
  const what = count === 1 ? '1 pass is' : `${count} passes are`;
  return {
    code: 'log-not-saved',
    message: `${what} not saved yet${why}.`,
    cure: 'Keep this window open: saving is tried again until it works.',
    since,
  };
}

// Turns judged passes into log entries and sees them onto the disk: kept in memory and tried again until they are.
import type {
  CallInput,
  Services,
  StandingProblem,
} from '../../../app/services/contract/contract.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { loggedBar } from '../../../app/core/units/logged-bars.ts';
import type { ClimbPass, ClimbState } from '../../../app/core/ladder/model.ts';
import type {
  ChangeHeard,
  LogEntry,
  PassRecord,
  PlayedUnit,
  Verdict,
  ClimbSource,
} from '../../../app/core/model/pass.ts';
import type { IsoTime, Milliseconds, Seconds } from '../../../app/core/base/units.ts';

/** What every pass of one climb has in common. */
export interface Sitting {
  readonly session: string;
  readonly climb: string;
  readonly chart: { readonly id: string; readonly title: string };
  readonly unit: Unit;
  /** Has this unit not been played yet today? Then the first pass is a cold one. */
  readonly cold: boolean;
}

/** What is known of one pass besides the climb's own account of it. */
export interface PassFacts {
  readonly id: string;
  readonly at: IsoTime;
  readonly duration: Seconds;
  readonly verdict: Verdict | 'unjudged';
  readonly source: ClimbSource;
  readonly changes?: readonly ChangeHeard[];
}

/** The record of one pass, as DESIGN.md wants it: what was played, at what tempo, and who judged it. */
export function recordOf(
  sitting: Sitting,
  state: ClimbState,
  pass: ClimbPass,
  facts: PassFacts,
): PassRecord {
  const { unit } = sitting;
  const { rules, rungs, targetRung } = state;
  const { changes, ...rest } = facts;
  return {
    ...rest,
    session: sitting.session,
    climb: sitting.climb,
    chart: sitting.chart,
    unit: { key: unit.key, name: unit.name, fingerprint: unit.fingerprint },
    rung: {
      bpm: rungs[pass.rung] as number,
      beat: rules.beat,
      index: pass.rung,
      of: rungs.length,
      target: rungs[targetRung] as number,
    },
    cold: sitting.cold && pass.number === 1,
    ...(changes === undefined ? {} : { changes }),
    ...(pass.underrun ? { underrun: true as const } : {}),
  };
}

export const playedUnit = (unit: Unit): PlayedUnit => ({
  fingerprint: unit.fingerprint,
  bars: unit.bars.map(loggedBar),
});

export interface RecorderSurroundings {
  readonly services: Pick<Services, 'call'>;
  readonly isoNow: () => IsoTime;
  /** Runs `action` later; returns the function that calls it off. */
  readonly later: (wait: Milliseconds, action: () => void) => () => void;
  /** Told whenever a standing problem comes, changes or goes. */
  readonly onTrouble: (trouble: StandingProblem | null) => void;
}

/** Soon at first, then at most every half minute (common practice, no source). */
const RETRY_MS = [1000, 2000, 5000, 10_000, 30_000] as const;

export class PassRecorder {
  readonly #around: RecorderSurroundings;
  #waiting: readonly LogEntry[] = [];
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

  /** Sends the entry at once, after any that still wait. */
  append = (entry: LogEntry): void => {
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
      this.#failures = 0;
      this.#since = null;
      this.#around.onTrouble(null);
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
    this.#around.onTrouble(unsaved(this.#waiting.length, this.#since, error));
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

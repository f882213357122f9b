// The log as the view asks it: questions to the machine side, and which bars were played today, which counts at once.
import { localDate } from '../../../app/core/log/days.ts';
import type { LogEntry, PassRecord } from '../../../app/core/model/pass.ts';
import type { IsoDate } from '../../../app/core/base/units.ts';
import type {
  CallInput,
  CallName,
  CallOutput,
  Services,
} from '../../../app/services/contract/contract.ts';
import { today } from '../../page/clock.ts';
import { mapOf, NO_ENTRIES } from '../../page/maps.ts';
import { LoadedOnce } from '../../../app/core/base/loaded-once.ts';

interface LogAround {
  readonly services: Pick<Services, 'call'>;
}

export type LogQuestion = Exclude<Extract<CallName, `log.${string}`>, 'log.append'>;

export type AskLog = <N extends LogQuestion>(
  name: N,
  input: CallInput<N>,
) => Promise<CallOutput<N>>;

/** Holds no passes: rooms ask for what they show. */
export class PracticeLog {
  readonly #around: LogAround;
  readonly #loading = new LoadedOnce(() => this.#read());
  #version = $state(0);
  /** The day on which some bars were played last, as far as that may be today. */
  #played: ReadonlyMap<string, IsoDate> = NO_ENTRIES;

  constructor(around: LogAround) {
    this.#around = around;
  }

  /** How often the log has changed on the machine side. */
  get version(): number {
    return this.#version;
  }

  /** Reads what was played today the first time it is asked for: a climb begins without waiting for the log. */
  load = this.#loading.get;

  /** Passes came from elsewhere. */
  readAgain = async (): Promise<void> => {
    this.written();
    if (this.#loading.asked) await this.#read();
  };

  /** Inside an effect it is asked again whenever the log has changed. */
  ask: AskLog = (name, input) => {
    void this.#version;
    return this.#around.services.call(name, input);
  };

  /** The machine side has more than before, of whomever. */
  written = (): void => {
    this.#version += 1;
  };

  /** Entries that are on their way to the disk count at once. */
  keep = (entries: readonly LogEntry[]): void => {
    this.#note(entries.flatMap((entry) => (entry.kind === 'pass' ? [entry.pass] : [])));
  };

  /** Were these bars played today, under whatever name? */
  playedToday = (chart: string, fingerprint: string): boolean =>
    this.#played.get(`${chart}\n${fingerprint}`) === today();

  async #read(): Promise<void> {
    const { passes } = await this.#around.services.call('log.passes', { since: today() });
    this.#note(passes);
  }

  #note(passes: readonly PassRecord[]): void {
    const played = passes.map(
      ({ chart, unit, at }) => [`${chart.id}\n${unit.fingerprint}`, localDate(at)] as const,
    );
    this.#played = mapOf([...this.#played, ...played]);
  }
}

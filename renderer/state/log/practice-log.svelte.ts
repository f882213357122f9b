// The log as the view reads it: every settled pass, by unit, and the summaries the Log room shows.
import { withEntries } from '../../../app/core/log/history.ts';
import { summarise } from '../../../app/core/log/per-unit.ts';
import type { LogEntry, PassRecord, PlayedUnit } from '../../../app/core/model/pass.ts';
import type { Services } from '../../../app/services/contract/contract.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import { UnitRecords } from './unit-records.ts';

interface LogAround {
  readonly services: Pick<Services, 'call'>;
  readonly messages: Messages;
}

/** What was read once is kept up to date by what is written: nothing is read twice. */
export class PracticeLog {
  readonly #around: LogAround;
  #loading: Promise<void> | undefined;
  #loaded = $state(false);
  #passes = $state.raw<readonly PassRecord[]>([]);
  #units = $state.raw<Readonly<Record<string, PlayedUnit>>>({});
  readonly summaries = $derived(summarise(this.#passes));
  /** Passes by unit and where each unit stands; replaced when a pass comes in. */
  readonly records: UnitRecords = $derived(new UnitRecords(this.#passes));

  constructor(around: LogAround) {
    this.#around = around;
  }

  get loaded(): boolean {
    return this.#loaded;
  }
  /** In time order, amendments applied. */
  get passes(): readonly PassRecord[] {
    return this.#passes;
  }
  /** The bars as they were when played, by fingerprint. */
  get units(): Readonly<Record<string, PlayedUnit>> {
    return this.#units;
  }

  /** One unit's bars as played; undefined where they were lost with a damaged file. */
  playedUnit = (fingerprint: string): PlayedUnit | undefined => ownEntry(this.#units, fingerprint);

  /** Reads the whole history the first time it is asked for. */
  load = (): Promise<void> => {
    this.#loading ??= this.#read().catch((error: unknown) => {
      this.#loading = undefined;
      throw error;
    });
    return this.#loading;
  };

  /** Entries that are on their way to the disk count at once. */
  keep = (entries: readonly LogEntry[]): void => {
    this.#passes = withEntries(this.#passes, entries);
    const fresh = entries.flatMap((entry) =>
      entry.kind === 'pass' && !this.playedUnit(entry.unit.fingerprint)
        ? [[entry.unit.fingerprint, entry.unit] as const]
        : [],
    );
    if (fresh.length > 0) this.#units = { ...this.#units, ...Object.fromEntries(fresh) };
  };

  async #read(): Promise<void> {
    const history = await this.#around.services.call('log.history', {});
    this.#passes = history.passes;
    this.#units = history.units;
    this.#loaded = true;
    this.#around.messages.refuse(history.problems);
  }
}

function ownEntry<T>(table: Readonly<Record<string, T>>, key: string): T | undefined {
  return Object.hasOwn(table, key) ? table[key] : undefined;
}

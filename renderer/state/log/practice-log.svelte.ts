// The log as the view reads it: every settled pass, by unit, and the summaries the Log room shows.
import { own } from '../../../app/core/base/own.ts';
import { withEntries } from '../../../app/core/log/history.ts';
import { dateOfDay, dayNumber, localDate } from '../../../app/core/log/days.ts';
import type { LogEntry, PassRecord, PlayedUnit } from '../../../app/core/model/pass.ts';
import type {
  CallInput,
  CallOutput,
  Services,
  UnitTally,
} from '../../../app/services/contract/contract.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import { UnitRecords } from './unit-records.ts';

/** Days that are read at first. */
const YEAR = 366;

interface LogAround {
  readonly services: Pick<Services, 'call'>;
  readonly messages: Messages;
}

type LogQuestion =
  `log.${'units' | 'days' | 'passes' | 'course' | 'sittings' | 'changes' | 'standings' | 'bars'}`;

/** What was read once is kept up to date by what is written: nothing is read twice. */
export class PracticeLog {
  readonly #around: LogAround;
  #loading: Promise<void> | undefined;
  #loaded = $state(false);
  #older = $state(false);
  /** How often the log has changed on the machine side. */
  #written = $state(0);
  /** Written by this window: they may still be on their way to the disk. */
  #kept: readonly LogEntry[] = [];
  #passes = $state.raw<readonly PassRecord[]>([]);
  #units = $state.raw<Readonly<Record<string, PlayedUnit>>>({});
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
  playedUnit = (fingerprint: string): PlayedUnit | undefined => own(this.#units, fingerprint);

  /** Does the log hold passes that were not read yet? */
  get older(): boolean {
    return this.#older;
  }

  /** Reads the last year of practice the first time it is asked for: all that Today, a climb and its figures need. */
  load = (): Promise<void> => {
    this.#loading ??= this.#read(YEAR).catch((error: unknown) => {
      this.#loading = undefined;
      throw error;
    });
    return this.#loading;
  };

  /** Reads what is older, too. */
  loadAll = async (): Promise<void> => {
    await this.load();
    if (!this.#older) return;
    this.#loading = this.#read();
    await this.#loading;
  };

  /** Reads it anew, where it was read: passes came from elsewhere. What was said here is in the log by now. */
  readAgain = async (): Promise<void> => {
    this.written();
    if (!this.#loading) return;
    this.#kept = this.#kept.filter(({ kind }) => kind === 'pass');
    await (this.#loading = this.#read(this.#older ? YEAR : undefined));
  };

  /** Asks the machine side; inside an effect it is asked again whenever the log there has changed. */
  ask = <N extends LogQuestion>(name: N, input: CallInput<N>): Promise<CallOutput<N>> => {
    void this.#written;
    return this.#around.services.call(name, input);
  };

  /** The machine side has more than before, of whomever. */
  written = (): void => {
    this.#written += 1;
  };

  /** Entries that are on their way to the disk count at once. */
  keep = (entries: readonly LogEntry[]): void => {
    this.#kept = [...this.#kept, ...entries];
    this.#passes = withEntries(this.#passes, entries);
    const fresh = entries.flatMap((entry) =>
      entry.kind === 'pass' && !this.playedUnit(entry.unit.fingerprint)
        ? [[entry.unit.fingerprint, entry.unit] as const]
        : [],
    );
    if (fresh.length > 0) this.#units = { ...this.#units, ...Object.fromEntries(fresh) };
  };

  /** @param days before the last practised one; all of them if left out. */
  async #read(days?: number): Promise<void> {
    const { call } = this.#around.services;
    const tallies = await call('log.units', {});
    const last = tallies[0] && dayNumber(localDate(tallies[0].lastPlayed));
    const some = days !== undefined && last !== undefined;
    const asked = some ? { since: dateOfDay(last - days) } : {};
    const { passes, problems } = await call('log.passes', asked);
    const bars = await call('log.bars', {
      fingerprints: [...Map.groupBy(passes, ({ unit }) => unit.fingerprint).keys()],
    });
    this.#units = {
      ...this.#units,
      ...Object.fromEntries(bars.map((unit) => [unit.fingerprint, unit])),
    };
    this.#passes = withEntries(passes, this.#kept);
    this.#older = passes.length < tallies.reduce((sum, unit) => sum + countOf(unit), 0);
    this.#loaded = true;
    this.#around.messages.refuse(problems);
  }
}

const countOf = ({ clean, missed, unjudged }: UnitTally): number => clean + missed + unjudged;

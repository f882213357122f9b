// The log as the view reads it: every settled pass, and the summaries the Log room shows.
import { summarise } from '../../../app/core/log/per-unit.ts';
import type { PassRecord, PlayedUnit } from '../../../app/core/model/pass.ts';
import { call } from '../../services.ts';
import { messages } from '../messages.svelte.ts';

class PracticeLog {
  #passes = $state.raw<readonly PassRecord[]>();
  #units = $state.raw<Readonly<Record<string, PlayedUnit>>>({});
  readonly summaries = $derived(summarise(this.#passes ?? []));

  get loaded(): boolean {
    return this.#passes !== undefined;
  }
  /** In time order, amendments applied. */
  get passes(): readonly PassRecord[] {
    return this.#passes ?? [];
  }
  /** The bars as they were when played, by fingerprint. */
  get units(): Readonly<Record<string, PlayedUnit>> {
    return this.#units;
  }

  /** Reads the whole history anew; a room calls it when it opens. */
  load = async (): Promise<void> => {
    const history = await call('log.history', {});
    this.#passes = history.passes;
    this.#units = history.units;
    messages.refuse(history.problems);
  };
}

export const practiceLog = new PracticeLog();

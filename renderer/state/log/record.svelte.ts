// The player's own log by unit, as the Today, History and Desk rooms share it.
import { practiceLog } from './practice-log.svelte.ts';
import { UnitRecords } from './unit-records.ts';

class OwnRecords {
  /** The player's own log; replaced when the log is read anew. */
  readonly now: UnitRecords = $derived(new UnitRecords(practiceLog.passes));
}

export const ownRecords = new OwnRecords();

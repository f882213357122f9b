// Keeps what was judged and chosen: it goes to disk at once, or waits in memory and is tried again until it can.
import type { LogEntry } from '../../core/model/pass.ts';
import type { Problem } from '../../core/base/result.ts';
import type { AppendAnswer, SettingsPatch, SettingsRead } from '../contract/contract.ts';
import type { PackedHistory } from '../contract/packed-log.ts';
import { packLog, withoutRepeatedUnits } from '../contract/packed-log.ts';
import type { StandingProblems } from './standing-problems.ts';
import { inWords } from './store/durable.ts';
import type { LogStore } from './store/log-store.ts';
import type { SettingsStore } from './store/settings-store.ts';

export interface Keeper {
  readonly append: (entries: readonly LogEntry[]) => AppendAnswer;
  /** Entries that wait in memory. */
  readonly waiting: () => readonly LogEntry[];
  /** Everything on disk from `since` on, and what waits. */
  readonly history: (since?: string) => PackedHistory;
  /** Tries to write what waits. */
  readonly retry: () => void;
  readonly close: () => void;
}

const UNWRITABLE = 'log-unwritable';

export function keepLog(log: LogStore, standing: StandingProblems): Keeper {
  let waiting: readonly LogEntry[] = [];
  const flush = (): { readonly problem?: Problem } => {
    try {
      log.append(waiting);
      waiting = [];
      standing.clear(UNWRITABLE);
      return {};
    } catch (error) {
      return { problem: unwritable(error) };
    }
  };
  return {
    append: (entries) => {
      waiting = [...waiting, ...entries];
      const { problem } = flush();
      if (!problem) return { stored: entries.length, pending: 0 };
      return { stored: 0, pending: waiting.length, problem: standing.raise(problem) };
    },
    waiting: () => waiting,
    history: (since) => {
      const { parts, problems } = log.history(since);
      return { parts: withoutRepeatedUnits([...parts, packLog(waiting)]), problems };
    },
    retry: () => {
      if (waiting.length > 0) flush();
    },
    close: log.close,
  };
}

const unwritable = (error: unknown): Problem => ({
  code: UNWRITABLE,
  message: `Your passes can't be written to disk: ${inWords(error)}. They are kept in memory.`,
  cure: 'Make room on the disk or allow writing to the data folder; they are then written by themselves. Keep the program open until this message is gone.',
});

export interface SettingsKeeper {
  /** In force at once, whether or not they could be written. */
  readonly write: (patch: SettingsPatch) => SettingsRead;
  readonly retry: () => void;
}

const SETTINGS_UNWRITABLE = 'settings-unwritable';

export function keepSettings(settings: SettingsStore, standing: StandingProblems): SettingsKeeper {
  const attempt = (work: () => void): void => {
    try {
      work();
      standing.clear(SETTINGS_UNWRITABLE);
    } catch (error) {
      standing.raise(settingsUnwritable(error));
    }
  };
  return {
    write: (patch) => {
      attempt(() => settings.write(patch));
      return settings.read();
    },
    retry: () => attempt(settings.retry),
  };
}

const settingsUnwritable = (error: unknown): Problem => ({
  code: SETTINGS_UNWRITABLE,
  message: `The settings can't be written to disk: ${inWords(error)}. They hold until the program ends.`,
  cure: 'Make room on the disk or allow writing to the data folder; they are then written by themselves.',
});

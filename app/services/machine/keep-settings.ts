// Keeps what was chosen: in force at once, on disk as soon as it can be written.
import type { Problem } from '../../core/base/result.ts';
import type { SettingsPatch, SettingsRead } from '../contract/contract.ts';
import type { StandingProblems } from './store/standing-problems.ts';
import { inWords } from './store/durable.ts';
import type { SettingsStore } from './store/settings-store.ts';

export interface SettingsKeeper {
  /** In force at once, whether or not they could be written. */
  readonly write: (patch: SettingsPatch) => SettingsRead;
  readonly retry: () => void;
}

const SETTINGS_UNWRITABLE = 'settings-unwritable';

/** What cannot be written counts in memory, stands as a problem, and is written later. */
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
  message: `The settings (settings.json in the data folder) can't be written to disk: ${inWords(error)}. They hold until the program ends.`,
  cure: 'Make room on the disk or allow writing to the data folder; they are then written by themselves.',
});

// The settings file: read value by value, unknown keys kept, written whole; held in memory while it cannot be written.
import type { Problem } from '../../../core/base/result.ts';
import type { SettingsPatch, SettingsRead } from '../../contract/settings.ts';
import { readSettings } from '../../contract/settings.ts';
import type { SafeKeeping } from './backups.ts';
import type { FileKind, StoreEngine, WithEarlier } from './store-file.ts';
import { openStoreFile } from './store-file.ts';

type Raw = Readonly<Record<string, unknown>>;

export interface SettingsStore extends WithEarlier {
  readonly read: () => SettingsRead;
  /** In force at once. @throws Error when it could not be written; `retry` then writes it later. */
  readonly write: (patch: SettingsPatch) => void;
  /** Writes what could not be written. @throws Error as long as that fails. */
  readonly retry: () => void;
  /** Everything in the file, unknown keys too. */
  readonly raw: () => ReadonlyMap<string, unknown>;
  /** In force at once; a key whose value is undefined goes. @throws Error when it could not be written. */
  readonly exchange: (values: ReadonlyMap<string, unknown>) => void;
  readonly problems: readonly Problem[];
}

export const settingsKind: FileKind<Raw> = {
  what: 'the settings',
  schemaVersion: 1,
  migrations: [],
  flaw: () => undefined,
  empty: () => ({}),
};

/**
 * Values that this version does not know stay in the file. @throws by `write` and `retry` where the disk refuses;
 * what was written counts in memory
 */
export function openSettingsStore(
  file: string,
  engine: StoreEngine,
  keeping: SafeKeeping,
): SettingsStore {
  const stored = openStoreFile(file, settingsKind, engine, keeping);
  let raw = stored.value;
  let unsaved = false;
  const save = (): void => {
    unsaved = true;
    stored.save(raw);
    unsaved = false;
  };
  return {
    read: () => readSettings(raw),
    write: (patch) => {
      raw = { ...raw, ...patch };
      save();
    },
    retry: () => {
      if (unsaved) save();
    },
    raw: () => new Map(Object.entries(raw)),
    exchange: (values) => {
      const next = new Map([...Object.entries(raw), ...values]);
      raw = Object.fromEntries([...next].filter(([, value]) => value !== undefined));
      save();
    },
    earlierDay: () => stored.earlier(raw)?.day,
    bringEarlier: () => {
      const copy = stored.earlier(raw);
      if (!copy) return;
      stored.setAside();
      raw = copy.value;
      save();
    },
    problems: stored.problems,
  };
}

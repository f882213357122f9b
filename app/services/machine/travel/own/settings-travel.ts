// The settings that go with the player; what belongs to a machine stays: devices, delays, loudness, its voices, its light.
import type { Json } from '../../../../core/exchange/shared/facts.ts';
import type { Settings } from '../../../contract/settings.ts';
import type { SettingsStore } from '../../store/settings-store.ts';
import { type Traveller, valuesOf } from './traveller.ts';

/** How the player holds, hears and steers. */
const TRAVELLING = [
  'reducedMotion',
  'leftHanded',
  'barres',
  'levels',
  'keys',
  'lapOptions',
  'model',
  'bandAlong',
  'breakReminderMinutes',
  'queue',
] as const satisfies readonly (keyof Settings)[];
const PREFIX = 'setting:';

/** The settings that belong to the player rather than to the machine. */
export const settingsTravel = (settings: SettingsStore): Traveller => ({
  prefixes: [PREFIX],
  values: () => {
    const raw = settings.raw();
    return valuesOf(
      TRAVELLING.flatMap((name): [string, Json][] => {
        const value = raw.get(name);
        return value === undefined ? [] : [[`${PREFIX}${name}`, value as Json]];
      }),
    );
  },
  take: (values) => {
    const known = new Set<string>(TRAVELLING);
    // One that was taken away has its usual value again.
    const named = [...values].map(
      ([key, value]) => [key.slice(PREFIX.length), value ?? undefined] as const,
    );
    settings.exchange(new Map(named.filter(([name]) => known.has(name))));
  },
});

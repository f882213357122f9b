// A climb that the ear judges alone: two rungs on two bars, the model guitar played into the microphone.
import type { Page } from '@playwright/test';
import type { CallInput } from '../../../app/services/contract/contract.ts';
import { type Settings, usualSettings } from '../../../app/services/contract/settings.ts';
import { expect, type TestHost } from '../host.ts';
import { SHORT_LADDER } from '../../support/short-ladder.ts';
import { handle } from '../view/short-climb.ts';

/** One chord each, at 150 bpm 3.2 s. */
export const TWO_BARS = 'bars:Chorus:1-2';

const ladder = (
  patch: Partial<(typeof SHORT_LADDER)['rules']> = {},
): CallInput<'ladders.save'> => ({
  ...SHORT_LADDER,
  unit: TWO_BARS,
  rules: {
    ...SHORT_LADDER.rules,
    start: 150,
    target: 160,
    step: { kind: 'bpm', by: 10 },
    restBars: 2,
    ...patch,
  },
});

/** The set-up of the climb, the ear switched on; the model guitar alone is heard after the count-in. */
export async function openClimbByEar(
  page: Page,
  host: TestHost,
  patch: Parameters<typeof ladder>[0] = {},
  settings: Partial<Settings> = {},
): Promise<void> {
  await handle(host, 'ladders.save', ladder(patch));
  await handle(host, 'settings.write', {
    patch: {
      shown: ['care-before-first-sound'],
      ear: { ...usualSettings.ear, on: true },
      model: { heard: 'alone', chords: true, lines: 'none' },
      masterLevel: 0.6,
      ...settings,
    },
  });
  await page.goto(`${host.address}#/climb/${SHORT_LADDER.chart}/${encodeURIComponent(TWO_BARS)}`);
  await expect(page.getByRole('button', { name: 'Climb', exact: true })).toBeEnabled();
}

// A climb that the ear judges alone: two rungs on two bars, the model guitar played into the microphone.
import type { Page } from '@playwright/test';
import type { CallInput } from '../../../app/services/contract/contract.ts';
import { type Settings, usualSettings } from '../../../app/services/contract/settings.ts';
import type { TestHost } from '../host.ts';
import { openShortClimb } from '../view/short-climb.ts';

/** One chord each, at 150 bpm 3.2 s. */
const TWO_BARS = 'bars:Chorus:1-2';

type Rules = CallInput<'ladders.save'>['rules'];

/** The set-up of the climb, the ear switched on; the model guitar alone is heard after the count-in. */
export async function openClimbByEar(
  page: Page,
  host: TestHost,
  rules: Partial<Rules> = {},
  settings: Partial<Settings> = {},
): Promise<void> {
  const usual = { start: 150, target: 160, step: { kind: 'bpm', by: 10 }, restBars: 2 } as const;
  await openShortClimb(page, host, {
    ladder: { unit: TWO_BARS, rules: { ...usual, ...rules } },
    settings: {
      ear: { ...usualSettings.ear, on: true },
      model: { heard: 'alone', chords: true, leads: 'none' },
      masterLevel: 0.6,
      ...settings,
    },
  });
}

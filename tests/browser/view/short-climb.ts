// The steps of a player through a climb that ends within seconds.
import type { Locator, Page } from '@playwright/test';
import type { Passes } from '../../../app/services/contract/contract.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import { CHART, SHORT_LADDER, UNIT } from '../../support/short-ladder.ts';
import { expect, type TestHost } from '../host.ts';

/** Asks the machine side, which must not refuse. */
export async function handle(host: TestHost, name: string, input: unknown): Promise<unknown> {
  const answer = await host.services.handle(name, input);
  expect(answer).toMatchObject({ ok: true });
  return answer.ok ? answer.value : undefined;
}

/** The set-up with the short ladder; the words of care are read unless `careUnread`. */
export async function openShortClimb(
  page: Page,
  host: TestHost,
  careUnread = false,
): Promise<void> {
  await handle(host, 'ladders.save', SHORT_LADDER);
  if (!careUnread) {
    await handle(host, 'settings.write', { patch: { shown: ['care-before-first-sound'] } });
  }
  await page.goto(`${host.address}#/climb/${CHART}/${encodeURIComponent(UNIT)}`);
  await expect(page.getByRole('button', { name: 'Climb', exact: true })).toBeEnabled();
}

/** The question after one pass, or after any. */
export const verdicts = (page: Page, pass?: number) =>
  page.getByRole('group', { name: pass === undefined ? /How was pass/ : `How was pass ${pass}?` });

/** Judges the next pass by its key as soon as it may be judged. */
export async function judgeNext(page: Page, pass: number, key: 'ArrowUp' | 'ArrowDown') {
  await expect(verdicts(page, pass)).toBeVisible();
  await page.keyboard.press(key);
}

/** Presses Tab until the control has the focus, as somebody without a mouse does. */
export async function tabTo(page: Page, control: Locator): Promise<void> {
  for (let presses = 0; presses < 120; presses++) {
    if (await control.evaluate((e) => e === document.activeElement)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error('the control is out of reach of the Tab key');
}

export async function logged(host: TestHost): Promise<readonly PassRecord[]> {
  return ((await handle(host, 'log.passes', {})) as Passes).passes;
}

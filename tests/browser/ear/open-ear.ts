// The ear's room, the words of care read.
import type { Page } from '@playwright/test';
import { expect, type TestHost } from '../host.ts';
import { handle } from '../view/short-climb.ts';

export async function openEar(page: Page, host: TestHost): Promise<void> {
  await handle(host, 'settings.write', { patch: { shown: ['care-before-first-sound'] } });
  await page.goto(`${host.address}#/ear`);
  await expect(page.getByRole('heading', { level: 1, name: 'Ear' })).toBeVisible();
}

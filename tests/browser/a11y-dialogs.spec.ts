// axe-core on the questions that no other test opens, in light and dark.
import type { Page } from '@playwright/test';
import { daysAgo } from '../support/test-time.ts';
import { expectAccessible } from './accessible.ts';
import { expect, test, type TestHost } from './host.ts';
import { diary } from './record/diary.ts';
import { handle } from './view/short-climb.ts';

const go = async (page: Page, host: TestHost, hash: string): Promise<void> => {
  await page.goto(`${new URL(host.address).origin}/#/${hash}`);
  await expect(page.locator('[data-room-title]')).toBeVisible();
};

/** Opens the question by its button, looks, and closes it. */
async function lookAt(page: Page, button: string, title: RegExp): Promise<void> {
  await page.getByRole('button', { name: button, exact: true }).first().click();
  await expect(page.getByRole('dialog', { name: title })).toBeVisible();
  await expectAccessible(page);
  await page.keyboard.press('Escape');
  await expect(page.getByRole('dialog', { name: title })).toBeHidden();
}

test('questions of Charts', async ({ trainer: page, host }) => {
  await go(page, host, 'charts/new');
  await expect(page.getByRole('dialog', { name: 'A new chart' })).toBeVisible();
  await expectAccessible(page);
  await go(page, host, 'charts/demo-rain-on-the-kettle');
  await lookAt(page, 'Paste a sheet', /^Paste into this chart/);
  await go(page, host, 'charts');
  await lookAt(page, 'Export', /^Export/);
});

test('questions of Today and Sound & care', async ({ trainer: page, host }) => {
  const entries = diary({ until: daysAgo(1), days: 2, passesPerDay: 4, units: 1 });
  await handle(host, 'log.append', { entries });
  await go(page, host, 'today');
  await lookAt(page, 'Hand back a report', /^Hand back a report/);
  await lookAt(page, 'Set myself something', /^Set myself something/);
  await go(page, host, 'care');
  await lookAt(page, 'What went wrong', /^What went wrong/);
});

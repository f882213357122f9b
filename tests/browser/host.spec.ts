// The page in a real browser: it opens by its address, obeys its policy, reloads, and hears of events.
import type { Page } from '@playwright/test';
import { scriptFromText } from '../support/page-powers.ts';
import { expect, test } from './host.ts';

/** Opens the printed address; that it was asked for is answered to nobody. */
async function openUnanswered(page: Page, address: string): Promise<void> {
  let asked = 0;
  await page.route(
    '**/session',
    async (route) => {
      await route.fetch();
      asked++;
    },
    { times: 1 },
  );
  await page.goto(address);
  await expect.poll(() => asked).toBe(1);
}

test('opens by the printed address, once, and reloads', async ({ page, host, browser }) => {
  await page.goto(host.address);
  await expect(page).not.toHaveURL(/token/);
  await expect(page).toHaveTitle(/Rungwise/);
  await page.reload();
  await expect(page).toHaveTitle(/Rungwise/);

  const stranger = await browser.newContext();
  const other = await stranger.newPage();
  await other.goto(host.address);
  await expect(other.getByRole('alert')).toContainText('Start Rungwise once more');
  await stranger.close();
  // The token is this tab's alone: cookies know no ports and would go to other servers on this machine.
  expect(await page.context().cookies()).toEqual([]);
});

test('opens also where it is reloaded before the answer to its address has come', async ({
  page,
  host,
  browser,
}) => {
  await openUnanswered(page, host.address);
  await page.reload();
  await expect(page.getByRole('button', { name: /^Begin/ })).toBeVisible();
  await expect(page).not.toHaveURL(/token/);

  const other = await browser.newPage();
  await other.goto(host.address);
  await expect(other.getByRole('alert')).toContainText('Start Rungwise once more');
  await expect(other).not.toHaveURL(/token/);
  await other.close();
});

test('opens also where another room is gone to before the answer to its address has come', async ({
  page,
  host,
}) => {
  await openUnanswered(page, host.address);
  await page.goto(`${new URL(host.address).origin}/#/charts`);
  await expect(page.getByRole('heading', { level: 1, name: 'Charts' })).toBeVisible();
  const kept = await page.evaluate(() => Object.keys(sessionStorage).toSorted());
  expect(kept).toEqual(['rungwise.session', 'rungwise.tab']);
});

test('loads everything under its content policy, with exact timers', async ({ page, host }) => {
  const refused: string[] = [];
  page.on('console', (message) => {
    if (/content security policy/i.test(message.text())) refused.push(message.text());
  });
  await page.goto(host.address);
  await expect(page.getByRole('button', { name: /^Begin/ })).toBeVisible();
  expect(refused).toEqual([]);
  expect(await page.evaluate(() => crossOriginIsolated)).toBe(true);
});

test('refuses script from text', async ({ trainer }) => {
  expect(await scriptFromText(trainer)).toBe('EvalError');
});

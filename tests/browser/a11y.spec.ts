// axe-core on every screen, in light and dark: no violation of WCAG 2.2 A and AA or of its best practices.
import type { Locator, Page } from '@playwright/test';
import { violationsInBoth } from './accessible.ts';
import { expect, test, type TestHost } from './host.ts';
import { noteSound, whileHeld } from './view/held.ts';
import { judgeNext, openShortClimb } from './view/short-climb.ts';
import { chartText } from './view/chart-text.ts';

/** Four bars with three changes; with its rest bars a lap takes some 6 s. */
const KETTLE = { chart: 'demo-rain-on-the-kettle', unit: 'section:Verse' };

/** Serious or not, a violation fails; the message names rule and element. The page stands still meanwhile. */
async function expectNone(page: Page, where: string, within?: Locator): Promise<void> {
  expect.soft(await whileHeld(page, () => violationsInBoth(page, within)), where).toEqual([]);
}

async function go(page: Page, host: TestHost, hash: string): Promise<void> {
  await page.goto(`${new URL(host.address).origin}/#/${hash}`);
  await expect(page.getByRole('heading', { level: 1 })).toBeVisible();
}

test.use({ contextOptions: { reducedMotion: 'reduce' } });
test.beforeEach(({ page }) => noteSound(page));

test('every room of the rail as it first opens', async ({ trainer: page, host }) => {
  await go(page, host, 'charts');
  for (const link of await page.getByRole('navigation').getByRole('link').all()) {
    await link.click();
    await expect(link).toHaveAttribute('aria-current', 'page');
    await expect(page.locator('[data-room-title]')).toBeFocused();
    await expectNone(page, (await link.innerText()).trim());
  }
});

test('sheets, questions, remarks and the editor', async ({ trainer: page, host }) => {
  await go(page, host, 'charts');
  await page.keyboard.press('?');
  await expect(page.getByRole('dialog', { name: 'Keys' })).toBeVisible();
  await expectNone(page, 'sheet of keys');
  await page.keyboard.press('Escape');

  const row = page.getByRole('group', { name: 'Actions for Paper Streetcar' });
  await row.getByRole('button', { name: 'Rename' }).click();
  await page.getByRole('textbox', { name: 'Title' }).fill('');
  await expectNone(page, 'rename, refused');
  await page.keyboard.press('Escape');
  await row.getByRole('button', { name: 'Delete' }).click();
  await expect(page.getByRole('button', { name: 'Undo' })).toBeVisible();
  await expectNone(page, 'remark with undo');

  await go(page, host, 'charts/demo-copper-staircase');
  await expectNone(page, 'editor');
  const text = chartText(page);
  await text.fill('title: Half\n[Verse]\n| G / |\n');
  await expect(page.getByText(/\d+ mistakes?$/)).toBeVisible();
  await expectNone(page, 'editor with mistakes');
  await page.getByRole('button', { name: 'How to type' }).click();
  await expectNone(page, 'how to type');
});

test('the set-up with each kind of unit', async ({ page, host }) => {
  await openShortClimb(page, host);
  await page.getByText('More rules').click();
  await expectNone(page, 'set-up');
  for (const tab of await page.getByRole('tab').all()) {
    await tab.click();
    await expect(tab).toHaveAttribute('aria-selected', 'true');
    await expectNone(page, `set-up: ${await tab.innerText()}`, page.getByRole('tabpanel'));
  }
});

test('the words of care, then the stage asking where it broke, and in a drill', async ({
  page,
  host,
}) => {
  await openShortClimb(page, host, { ladder: KETTLE, careUnread: true });
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await expect(page.getByRole('dialog')).toBeVisible();
  await expectNone(page, 'before the first sound');
  await page.getByRole('button', { name: /turned it down/ }).click();
  await judgeNext(page, 1, 'ArrowDown');
  await expect(page.getByRole('heading', { name: /Where did it break/ })).toBeVisible();
  await page.keyboard.press('1');
  const places = page.getByRole('list', { name: 'Places where it may have broken' });
  await expect(places.getByRole('button').first()).toHaveAttribute('aria-pressed', 'true');
  await expectNone(page, 'stage, asking, place marked');
  await page.keyboard.press('KeyD');
  await expect(page.getByRole('heading', { level: 1, name: 'G and D' })).toBeVisible();
  await expectNone(page, 'stage, drill');
  await page.keyboard.press('KeyH');
  await expect(page.getByRole('heading', { name: /Put the guitar down/ })).toBeVisible();
  await expectNone(page, 'stage, drill stopped');
});

test('the stage at the top with its flag', async ({ page, host }) => {
  await openShortClimb(page, host, { ladder: { rules: { start: 400 } } });
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await judgeNext(page, 1, 'ArrowUp');
  await expect(page.getByRole('heading', { name: /flag is planted/ })).toBeVisible();
  await expectNone(page, 'stage, top');
});

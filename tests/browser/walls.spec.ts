// What fails in a room, in a dialog or on the way to a room never empties the window, and is one press from being back.
import type { Locator, Page } from '@playwright/test';
import { violationsOn } from './accessible.ts';
import { expect, test } from './host.ts';

const answer = (value: unknown) => ({ json: { ok: true, value } });

/** One sentence, a way back, the draft as a file, the report to copy. */
async function expectWays(page: Page, alert: Locator, again: string): Promise<void> {
  await expect(alert).toContainText('Everything you played and saved is kept.');
  await expect(alert.getByRole('button', { name: again })).toBeVisible();
  const draft = page.waitForEvent('download');
  await page.context().grantPermissions(['clipboard-read', 'clipboard-write']);
  await alert.getByRole('button', { name: 'Copy the report' }).click();
  await expect(alert.getByRole('button', { name: 'The report was copied' })).toBeVisible();
  expect(await page.evaluate(() => navigator.clipboard.readText())).toMatch(/\w+Error: /);
  await alert.getByRole('button', { name: 'Set the unsaved text aside as a file' }).click();
  expect((await draft).suggestedFilename()).toBe('unsaved charts.txt');
}

/** A text that was typed and not saved. */
const withDraft = (page: Page): Promise<unknown> =>
  page.addInitScript(() => localStorage.setItem('rungwise.draft.x', 'title: Half Written'));

test('a window that fails says so, and one press opens it again', async ({ page, host }) => {
  await withDraft(page);
  await page.route('**/call/host.info', (route) => route.fulfill(answer({ problems: [null] })));
  await page.goto(host.address);
  const alert = page.getByRole('alert');
  await expect(alert).toContainText('The window stopped working');
  expect.soft(await violationsOn(page), 'a window that failed').toEqual([]);
  await expect(alert.getByRole('button', { name: 'Copy the report' })).toBeVisible();
  await expect(alert.getByRole('button', { name: 'Set the unsaved text aside' })).toBeVisible();
  await page.unroute('**/call/host.info');
  await alert.getByRole('button', { name: 'Open the window again' }).click();
  await expect(page.getByRole('heading', { name: 'Today', level: 1 })).toBeVisible();
});

test('a room that fails says so, the rail stays, and one press brings the room back', async ({
  page,
  host,
}) => {
  await page.route('**/call/charts.list', (route) =>
    route.fulfill(answer({ charts: [{ id: 'x' }, { id: 'y' }], removed: [], problems: [] })),
  );
  await withDraft(page);
  await page.goto(`${host.address}#/charts`);
  const alert = page.getByRole('alert');
  await expect(alert).toContainText('This page stopped working');
  await expect(page.getByRole('link', { name: 'Today' })).toBeVisible();
  expect.soft(await violationsOn(page), 'a room that failed').toEqual([]);
  await expectWays(page, alert, 'Open the room again');
  await page.unroute('**/call/charts.list');
  host.services.emit('charts', {});
  await expect(async () => {
    await alert.getByRole('button', { name: 'Open the room again' }).click();
    await expect(page.getByRole('heading', { name: 'Charts', level: 1 })).toBeVisible({
      timeout: 3000,
    });
  }).toPass();
  await page.getByRole('link', { name: 'Sound & care' }).click();
  await page.getByRole('button', { name: 'What went wrong' }).click();
  await expect(page.getByRole('dialog')).toContainText('room charts: TypeError');
});

test('a room that cannot be fetched says so, and comes when it can', async ({ page, host }) => {
  await page.goto(host.address);
  await expect(page.getByRole('heading', { level: 1 })).toBeVisible();
  await page.route('**/assets/*.js', (route) => route.abort());
  await page.getByRole('link', { name: 'Keys & pedals' }).click();
  const alert = page.getByRole('alert');
  await expect(alert).toContainText('This room could not be opened');
  await page.unroute('**/assets/*.js');
  await alert.getByRole('button', { name: 'Open the room again' }).click();
  await expect(page.getByRole('heading', { name: 'Keys & pedals', level: 1 })).toBeVisible();
});

test('a dialog that fails leaves the way out of it, and the room', async ({ page, host }) => {
  await withDraft(page);
  await page.goto(`${host.address}#/care`);
  await page.route('**/call/copies.missing', (route) =>
    route.fulfill(answer({ charts: [], days: [{ desk: 'self', day: 'never', passes: 1 }] })),
  );
  await page.getByRole('button', { name: 'Look into the copies' }).click();
  const dialog = page.getByRole('dialog', { name: 'Back from the copies' });
  await expect(dialog.getByRole('alert')).toContainText('This did not work');
  expect.soft(await violationsOn(page), 'a dialog that failed').toEqual([]);
  await expectWays(page, dialog.getByRole('alert'), 'Try again');
  await page.unroute('**/call/copies.missing');
  await dialog.getByRole('button', { name: 'Close' }).click();
  await expect(dialog).toBeHidden();
  await page.getByRole('button', { name: 'Look into the copies' }).click();
  await expect(dialog).toContainText('your log has every pass');
});

test('a call that is refused and that nobody waits for is told', async ({ page, host }) => {
  await page.route('**/call/host.openFolder', (route) =>
    route.fulfill({
      json: {
        ok: false,
        problems: [{ code: 'x', message: 'The folder is shy', cure: 'Ask later' }],
      },
    }),
  );
  await page.goto(`${host.address}#/care`);
  await page.getByRole('button', { name: 'Open the folder' }).click();
  await expect(page.locator('.remark')).toContainText('The folder is shy. Ask later.');
});

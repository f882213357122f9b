// What fails in a room, in a dialog or on the way to a room never empties the window, and is one press from being back.
import { violationsOn } from './accessible.ts';
import { expect, test } from './host.ts';

const answer = (value: unknown) => ({ json: { ok: true, value } });

test('a room that fails says so, the rail stays, and one press brings the room back', async ({
  page,
  host,
}) => {
  await page.route('**/call/charts.list', (route) =>
    route.fulfill(answer({ charts: [{ id: 'x' }, { id: 'y' }], removed: [], problems: [] })),
  );
  await page.goto(`${host.address}#/charts`);
  const alert = page.getByRole('alert');
  await expect(alert).toContainText('This page stopped working');
  await expect(page.getByRole('link', { name: 'Today' })).toBeVisible();
  expect.soft(await violationsOn(page), 'a room that failed').toEqual([]);
  await page.unroute('**/call/charts.list');
  host.services.emit('charts', {});
  await expect(async () => {
    await alert.getByRole('button', { name: 'Open the room again' }).click();
    await expect(page.getByRole('heading', { name: 'Charts', level: 1 })).toBeVisible();
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
  await page.goto(`${host.address}#/care`);
  await page.route('**/call/copies.missing', (route) =>
    route.fulfill(answer({ charts: [], days: [{ desk: 'self', day: 'never', passes: 1 }] })),
  );
  await page.getByRole('button', { name: 'Look into the copies' }).click();
  const dialog = page.getByRole('dialog', { name: 'Back from the copies' });
  await expect(dialog.getByRole('alert')).toContainText('This did not work');
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

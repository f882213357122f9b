// Addresses and rooms agree: a link or the back button changes the page, also from a finished climb.
import { expect, test } from './host.ts';
import { judgeNext, openShortClimb, SHORT_REST } from './view/short-climb.ts';

test('from the finished screen another address, back and forth', async ({ page, host }) => {
  await openShortClimb(page, host, { ladder: { rules: SHORT_REST } });
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  for (const pass of [1, 2, 3]) await judgeNext(page, pass, 'ArrowUp');
  const top = page.getByRole('heading', { name: /flag is planted/ });
  await expect(top).toBeVisible();

  // Another unit of the same room: the address leads.
  await page.evaluate(() => (location.hash = '#/climb/demo-seven-chairs/section%3AChorus'));
  await expect(page.getByRole('heading', { level: 1, name: 'Climb' })).toBeVisible();
  const ladder = page.getByRole('complementary', { name: 'The ladder' });
  await expect(ladder.getByRole('heading', { name: 'Chorus' })).toBeVisible();
  await expect(page.getByRole('combobox', { name: 'Chart' })).toHaveValue('demo-seven-chairs');
  await expect(top).toBeHidden();

  await page.goBack();
  await expect(ladder.getByRole('heading', { name: 'Lift, bar 4' })).toBeVisible();
  await page.evaluate(() => (location.hash = '#/log'));
  await expect(page.getByRole('heading', { level: 1, name: 'Log' })).toBeVisible();
  await page.goBack();
  await expect(page.getByRole('heading', { level: 1, name: 'Climb' })).toBeVisible();
});

test('from the finished screen into another room and back', async ({ page, host }) => {
  await openShortClimb(page, host);
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await judgeNext(page, 1, 'ArrowUp');
  await page.keyboard.press('Escape');
  await expect(page.getByRole('heading', { name: 'Stopped.' })).toBeVisible();
  await page.evaluate(() => (location.hash = '#/history'));
  await expect(page.getByRole('heading', { level: 1, name: 'History' })).toBeVisible();
  await expect(page.getByRole('navigation', { name: 'Rooms' })).toBeVisible();
  await page.goBack();
  await expect(page).toHaveURL(/#\/climb\//);
  await expect(page.locator('h1')).toBeVisible();
});

test('a section is climbed with drums and bass, if wanted; its top leads on with the band', async ({
  page,
  host,
}) => {
  const errors: string[] = [];
  page.on('pageerror', (error) => errors.push(error.message));
  const kettle = { chart: 'demo-rain-on-the-kettle', unit: 'section:Verse' };
  await openShortClimb(page, host, { ladder: { ...kettle, rules: { start: 400 } } });
  await page.getByText('Click, guitar to play along with, and ear').click();
  await page.getByRole('switch', { name: 'Drums and bass play along' }).click();
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  const top = page.getByRole('heading', { name: /flag is planted/ });
  await judgeNext(page, 1, 'ArrowUp');
  await expect(top).toBeVisible();
  await expect(page.getByRole('button', { name: /^Next: / })).toBeVisible();
  await page.getByRole('button', { name: 'Verse with the band' }).click();
  await expect(page.getByRole('heading', { level: 1, name: 'Run-through' })).toBeVisible();
  await expect(page.getByRole('combobox', { name: 'Part of it' })).toHaveValue('section:Verse');
  expect(errors).toEqual([]);
});

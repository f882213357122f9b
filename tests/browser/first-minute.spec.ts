// The first minute of a new player in Chromium: one press, the care words, the tour on the stage, a first ladder won.
import { isoTimeOf } from '../../app/core/base/iso-time.ts';
import { loggedBar } from '../../app/core/units/bars/logged-bars.ts';
import { listUnits } from '../../app/core/units/resolve.ts';
import { demoNamed } from '../support/demo.ts';
import { pass } from '../unit/log/passes.ts';
import { testNow } from '../support/test-time.ts';
import { expectAccessible } from './accessible.ts';
import { expect, test } from './host.ts';
import { handle } from './view/short-climb.ts';

test('one press and the care words lead to the count-in; the tour walks along and never comes again', async ({
  page,
  host,
}) => {
  // Twice as fast as it comes, so that the minute is shorter.
  const chart = { ...demoNamed('rain-on-the-kettle'), tempo: { beat: 'quarter', bpm: 160 } };
  await handle(host, 'charts.save', { chart });
  await page.goto(`${host.address}#/today`);
  await expect(page.getByRole('heading', { name: 'Take your guitar' })).toBeVisible();
  await expectAccessible(page);
  await page.keyboard.press('Space', { delay: 80 });
  const care = page.getByRole('dialog', { name: 'Before the first sound' });
  await expect(care).toContainText('Space');
  // A press that comes with the question is its opener still held down, not an answer.
  await page.waitForTimeout(400);
  await page.keyboard.press('Space', { delay: 80 });

  const tour = page.getByRole('complementary', { name: 'Shown once' });
  await expect(tour).toContainText('1 of 3');
  await expect(tour).toContainText('Every rung is a tempo');
  await expectAccessible(page);
  await expect(tour).toContainText('2 of 3');
  await expect(tour).toContainText('3 of 3', { timeout: 30_000 });
  const ladder = page.getByRole('region', { name: 'Stage' }).getByRole('img', { name: /^Ladder/ });
  await expect(ladder).toHaveAccessibleName(/now on 121/);
  await page.keyboard.press('ArrowUp');
  // One clean pass is a rung of the first little ladder.
  await expect(ladder).toHaveAccessibleName(/now on 134/);
  await expect(tour).toBeHidden();
  await page.keyboard.press('Escape');
  await page.getByRole('button', { name: 'Climb on from 134' }).click();
  await expect(page.getByText(/count-in at 134/)).toBeVisible();
  await expect(tour).toBeHidden();
});

test('the tour can be skipped', async ({ page, host }) => {
  await handle(host, 'settings.write', { patch: { shown: ['care-before-first-sound'] } });
  await page.goto(`${host.address}#/today`);
  await page.getByRole('button', { name: /^Begin/ }).click();
  const tour = page.getByRole('complementary', { name: 'Shown once' });
  await tour.getByRole('button', { name: 'Skip' }).click();
  await expect(tour).toBeHidden();
  await expect(page.getByText('Bar 1 of 4')).toBeVisible();
  await expect(tour).toBeHidden();
});

test('who teaches and who just looks begin in rooms of their own', async ({ page, host }) => {
  await page.goto(`${host.address}#/today`);
  await page.getByRole('button', { name: 'I teach' }).click();
  await expect(page).toHaveURL(/#\/charts$/);
  await expect(page.getByText('Then set it for a student.')).toBeVisible();
  await page.goBack();
  await page.getByRole('button', { name: 'Just looking' }).click();
  await expect(page.getByRole('heading', { level: 1, name: 'Run-through' })).toBeVisible();
  await expect(page.getByRole('combobox', { name: 'Song' })).toHaveValue('demo-rain-on-the-kettle');
});

test('once the first ladder is won, Today says so and leads on with one press', async ({
  page,
  host,
}) => {
  const { id, title, ...chart } = demoNamed('rain-on-the-kettle');
  const { key, name, fingerprint, bars } = listUnits({ id, title, ...chart }, 'section')[0]!;
  const won = pass(isoTimeOf(testNow()), {
    ...{ chart: { id, title }, unit: { key, name, fingerprint } },
    ...{ verdict: 'clean', source: 'self' },
  });
  const entry = { kind: 'pass', pass: won, unit: { fingerprint, bars: bars.map(loggedBar) } };
  await handle(host, 'log.append', { entries: [entry] });
  await handle(host, 'settings.write', { patch: { shown: ['care-before-first-sound', 'tour'] } });
  await page.goto(`${host.address}#/today`);
  await expect(page.getByRole('heading', { name: 'Done for today' })).toBeVisible();
  await expect(page.getByRole('heading', { name: 'Your first day' })).toBeVisible();
  await expectAccessible(page);
  await page.keyboard.press('Space', { delay: 80 });
  await expect(page.getByText(/count-in at/)).toBeVisible();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(
    'Verse (2nd time) into Chorus (1st time)',
  );
});

// A whole climb on a demo chart in Chromium, on the real audio clock: by keyboard, through a reload, into the log.
import { GATE_MS } from '../../renderer/input/controls.ts';
import { SHORT_LADDER } from '../support/short-ladder.ts';
import { expect, test } from './host.ts';
import { whileHeld } from './view/held.ts';
import {
  glimpse,
  judgeNext,
  logged,
  openShortClimb,
  SHORT_REST,
  tabTo,
  verdicts,
} from './view/short-climb.ts';

test('from the first words of care to the top of the ladder and into the log, by keyboard alone', async ({
  page,
  host,
}) => {
  // Two bars, so that the count-in is not over before it is looked at.
  const options = { ...SHORT_LADDER.options, countIn: 'two' as const };
  await openShortClimb(page, host, {
    ladder: { rules: SHORT_REST, options },
    careUnread: true,
  });
  await tabTo(page, page.getByRole('button', { name: 'Climb', exact: true }));
  await page.keyboard.press('Enter');

  const care = page.getByRole('dialog', { name: 'Before the first sound' });
  await expect(care).toContainText('Start quiet');
  await expect(care).toContainText('−6 dBFS');
  await expect(care).toContainText('not medical advice');
  await tabTo(page, care.getByRole('button', { name: /turned it down/ }));
  await page.keyboard.press('Enter');

  const stage = page.getByRole('region', { name: 'Stage' });
  await glimpse(stage.getByText(/count-in at 360/));
  await expect(page.getByRole('navigation', { name: 'Rooms' })).toBeHidden();
  await judgeNext(page, 1, 'ArrowUp');
  await expect(stage.getByRole('img', { name: /now on 380/ })).toBeVisible();
  await expect(page.getByRole('group', { name: 'How was pass 2?' })).toBeVisible();
  await expect(stage.locator('.says')).toHaveText('Clean or missed?');
  await judgeNext(page, 2, 'ArrowDown');
  await expect(stage.getByRole('img', { name: /now on 360/ })).toBeVisible();
  for (const pass of [3, 4, 5]) await judgeNext(page, pass, 'ArrowUp');

  await expect(stage.getByRole('heading', { level: 2 })).toContainText('flag is planted');
  await expect(stage).toContainText(/4 of 5 passes\s+were clean/);
  await tabTo(page, stage.getByRole('button', { name: 'See the log' }));
  await page.keyboard.press('Enter');

  const unit = page.getByRole('article', { name: 'Lift, bar 4 of Copper Staircase' });
  await expect(unit).toContainText('80 %');
  await expect(unit).toContainText('4 clean, 1 missed');
  await expect(unit).toContainText('= 400');
  await expect(unit).toContainText('yourself 5');
  const course = /How 5 passes went: 360 clean, 380 missed, 360 clean, 380 clean, 400 clean/;
  await expect(unit.getByRole('img', { name: course })).toBeVisible();
});

test('while a pass is played the chords, the beats until the change and the bar can be read', async ({
  page,
  host,
}) => {
  await openShortClimb(page, host);
  await page.goto(`${host.address}#/climb/demo-copper-staircase/section%3AVerse`);
  await page.getByRole('spinbutton', { name: 'Start' }).fill('120');
  await page.getByRole('button', { name: 'Climb', exact: true }).click();

  const stage = page.getByRole('region', { name: 'Stage' });
  await expect(stage.getByText('now', { exact: true })).toBeVisible();
  const now = stage.locator('.now .symbol');
  const next = stage.locator('.next .symbol');
  await whileHeld(page, async () => {
    await expect(now).toHaveText('Bm');
    await expect(next).toHaveText('F♯m');
    await expect(stage.getByText('Bar 1 of 8')).toBeVisible();
  });
  const size = (l: typeof now) => l.evaluate((e) => parseFloat(getComputedStyle(e).fontSize));
  // Legible from two metres: ISO 9241-303 (from memory) asks for capitals of at least 16' of arc. At
  // 2 m that is 2000 mm · tan(16') = 9.3 mm, 35 CSS pixels at 96 dpi, so a font of about 50.
  expect(await size(now)).toBeGreaterThan(90);
  expect(await size(next)).toBeGreaterThan(70);
  await page.keyboard.press('Escape');
});

test('a reload in the middle of a climb loses nothing that was judged', async ({ page, host }) => {
  await openShortClimb(page, host, { ladder: { rules: SHORT_REST } });
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await judgeNext(page, 1, 'ArrowUp');
  await judgeNext(page, 2, 'ArrowDown');
  await expect.poll(async () => (await logged(host)).length).toBe(2);
  await page.reload();
  await page.goto(`${new URL(host.address).origin}/#/log`);
  await expect(page.getByRole('article', { name: /Lift, bar 4/ })).toContainText(
    '1 clean, 1 missed',
  );
});

test('pause, undo and "it hurts" work from their keys, and nothing is held against the player', async ({
  page,
  host,
}) => {
  await openShortClimb(page, host);
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  const stage = page.getByRole('region', { name: 'Stage' });
  await judgeNext(page, 1, 'ArrowDown');
  await page.keyboard.press('Backspace');
  await expect(verdicts(page)).toBeVisible();
  // Sooner, a verdict beside a verdict counts as its echo.
  await page.waitForTimeout(2 * GATE_MS);
  await page.keyboard.press('ArrowUp');
  await expect(stage.getByRole('img', { name: /now on 380/ })).toBeVisible();

  await page.keyboard.press('Space');
  await expect(stage.locator('.standing')).toContainText('Paused.');
  // Sooner, a second press counts as the echo of the first.
  await page.waitForTimeout(2 * GATE_MS);
  await page.keyboard.press('Space');
  await expect(stage.locator('.standing')).toBeHidden();

  await page.keyboard.press('KeyH');
  await expect(stage.getByRole('heading', { level: 2 })).toContainText('Put the guitar down');
  await expect(stage).toContainText('doctor or a hand clinician');
  await expect
    .poll(async () => (await logged(host)).map(({ verdict }) => verdict))
    .not.toContain('missed');
});

test('a ladder whose start is above its target is refused where it is typed', async ({
  page,
  host,
}) => {
  await openShortClimb(page, host);
  await page.getByRole('spinbutton', { name: 'Target' }).fill('300');
  await expect(page.getByText('The start is above the target. Lower it.')).toBeVisible();
  await expect(page.getByRole('button', { name: 'Climb', exact: true })).toBeDisabled();
  await page.getByRole('spinbutton', { name: 'Target' }).fill('900');
  await expect(page.getByText('Target: write a number from 20 to 400.')).toBeVisible();
});

test('every kind of unit can be chosen', async ({ page, host }) => {
  await openShortClimb(page, host);
  const ladder = page.getByRole('complementary', { name: 'The ladder' });
  await page.getByRole('tab', { name: 'Sections' }).click();
  await page.getByRole('radio', { name: /Bridge/ }).check();
  await expect(ladder.getByRole('heading', { name: 'Bridge' })).toBeVisible();
  await page.getByRole('tab', { name: 'Bars' }).click();
  await page.getByRole('combobox', { name: 'Section' }).selectOption('Verse');
  await expect(ladder.getByRole('heading', { name: /^Verse/ })).toBeVisible();
  // At once: the second press does not wait until the first is prepared.
  const bars = page.getByRole('list', { name: 'Bars of Verse' }).getByRole('button');
  await expect(bars.nth(4)).toBeVisible();
  await bars.evaluateAll((all) => [2, 4].forEach((i) => (all[i] as HTMLElement).click()));
  await expect(ladder.getByRole('heading', { name: 'Verse, bars 3–5' })).toBeVisible();
  await page.getByRole('tab', { name: 'Bars' }).press('ArrowRight');
  await expect(page.getByRole('tab', { name: 'Joins' })).toHaveAttribute('aria-selected', 'true');
  await page.getByRole('tab', { name: 'Pairs' }).click();
  await expect(page.getByRole('radio').first()).toBeChecked();
  await page.getByRole('tab', { name: 'Stretch' }).click();
  await page.getByRole('combobox', { name: 'To' }).selectOption({ index: 1 });
  await expect(page).toHaveURL(/stretch/);
});

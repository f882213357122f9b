// The partner after a miss, in Chromium on the real audio clock: by keyboard, by two pedals, by a MIDI foot switch.
import type { Page } from '@playwright/test';
import { GATE_MS } from '../../renderer/input/controls.ts';
import { expect, test, type TestHost } from './host.ts';
import { step, type PedalKey } from './pedals/foot.ts';
import { FakePedal, HOLD, installFakeMidi, PRESS, TWICE } from './pedals/fake-midi.ts';
import { shortChart } from '../support/short-chart.ts';
import { SHORT_LADDER } from '../support/short-ladder.ts';
import { glimpse, logged, openShortClimb, SHORT_REST, verdicts } from './view/short-climb.ts';

/** G → D, D → Em, Em → C. Rungs 380 and 400; a lap takes some 4.5 s. */
const CHART = shortChart('four', 'Four Doors', 'G', 'D', 'Em', 'C');
const LADDER = {
  unit: 'section:Verse',
  rules: { ...SHORT_REST, start: 380, missedToDrop: 3 },
  options: { ...SHORT_LADDER.options, cueBeats: 0 },
};

const openSetUp = (page: Page, host: TestHost) =>
  openShortClimb(page, host, {
    ...{ chart: CHART, ladder: LADDER },
    settings: { shown: ['care-before-first-sound', 'tour'] },
  });

const stageOf = (page: Page) => page.getByRole('region', { name: 'Stage' });
const question = (page: Page) => page.getByRole('heading', { name: 'Missed. Where did it break?' });
const places = (page: Page) =>
  page.getByRole('list', { name: 'Places where it may have broken' }).getByRole('button');
const answer = (page: Page) => stageOf(page).locator('.answer');
const verdictDue = (page: Page) => glimpse(verdicts(page));

const lastMissed = async (host: TestHost) =>
  (await logged(host)).findLast(({ verdict }) => verdict === 'missed');

const judgedSecond = (page: Page) => glimpse(verdicts(page, 2));

test('by keyboard: three misses look different, a number marks, a step is taken and taken back', async ({
  page,
  host,
}) => {
  await openSetUp(page, host);
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  const said: string[] = [];
  for (let miss = 1; miss <= 3; miss++) {
    await verdictDue(page);
    await page.keyboard.press('ArrowDown');
    await expect(question(page)).toBeVisible();
    said.push(await answer(page).innerText());
    if (miss === 3) break;
    await page.waitForTimeout(2 * GATE_MS);
    await page.keyboard.press('ArrowUp');
  }
  expect(new Set(said).size).toBe(3);
  // The second one is marked.
  await expect(places(page)).toHaveText([/G → D/, /D → Em/, /Em → C/, /somewhere/]);
  await page.keyboard.press('2');
  await expect(places(page).nth(1)).toHaveAttribute('aria-pressed', 'true');
  await expect(answer(page)).toContainText('D → Em and back');
  await page.keyboard.press('Space');
  await expect(stageOf(page).getByRole('heading', { level: 1 })).toHaveText('D and Em');
  await glimpse(stageOf(page).getByText(/count-in at \d+/));
  await page.waitForTimeout(2 * GATE_MS);
  await page.keyboard.press('Backspace');
  await expect(question(page)).toBeVisible();
  await expect(stageOf(page).getByRole('heading', { level: 1 })).toHaveText('Verse');
  await page.keyboard.press('s');
  await glimpse(stageOf(page).getByText(/count-in at 3[24]0/));

  await expect
    .poll(() => lastMissed(host))
    .toMatchObject({ broke: { from: 'D', to: 'Em', by: 'self' } });
  await page.keyboard.press('Escape');
});

test('by keyboard: a miss can be put right in the silence, and a break keeps everything', async ({
  page,
  host,
}) => {
  await openSetUp(page, host);
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await verdictDue(page);
  await page.keyboard.press('ArrowDown');
  await expect(question(page)).toBeVisible();
  await page.keyboard.press('Backspace');
  await expect(page.getByRole('heading', { name: 'Taken back. Clean or missed?' })).toBeVisible();
  await page.waitForTimeout(2 * GATE_MS);
  await page.keyboard.press('ArrowDown');
  await expect(question(page)).toBeVisible();
  await page.keyboard.press('b');
  await expect(stageOf(page).locator('.standing')).toContainText('Five minutes’ break');
  await page.waitForTimeout(2 * GATE_MS);
  await page.keyboard.press('Space');
  await glimpse(stageOf(page).getByText(/count-in at 380/));
  await page.keyboard.press('Escape');
  // A slow machine may have begun another pass meanwhile, which nobody judged.
  const judged = async () =>
    (await logged(host)).map(({ verdict }) => verdict).filter((verdict) => verdict !== 'unjudged');
  await expect.poll(judged).toEqual(['missed']);
});

async function key(page: Page, name: PedalKey, held?: number): Promise<void> {
  await step(page, name, held);
  await page.waitForTimeout(2 * GATE_MS);
}

test('by two pedals alone: missed, which change, that, and taken back', async ({ page, host }) => {
  await openSetUp(page, host);
  await key(page, 'PageUp', 700);
  await verdictDue(page);
  // Once something was clean, a change that breaks is drilled.
  await key(page, 'PageUp');
  await judgedSecond(page);
  await key(page, 'PageDown');
  await expect(question(page)).toBeVisible();
  // Two quick presses would be a double one, which stops: a player steps at ease.
  await page.waitForTimeout(500);
  await key(page, 'PageDown');
  await expect(places(page).nth(0)).toHaveAttribute('aria-pressed', 'true');
  await page.waitForTimeout(500);
  await key(page, 'PageDown');
  await expect(places(page).nth(1)).toHaveAttribute('aria-pressed', 'true');
  await key(page, 'PageUp');
  await expect(stageOf(page).getByRole('heading', { level: 1 })).toHaveText('D and Em');
  await key(page, 'PageDown', 700);
  await expect(question(page)).toBeVisible();
  await expect.poll(async () => (await lastMissed(host))?.broke?.to).toBe('Em');
});

test('by a MIDI foot switch alone: missed, which change, and on', async ({ page, host }) => {
  await installFakeMidi(page);
  const pedal = new FakePedal(page, 'Blue Switch');
  await openSetUp(page, host);
  await page.getByRole('link', { name: 'Keys & pedals' }).click();
  await page.getByRole('button', { name: 'Use MIDI pedals' }).click();
  await pedal.plug();
  await page.evaluate(() => (location.hash = '#/climb/four/section:Verse'));
  await expect(page.getByRole('button', { name: 'Climb', exact: true })).toBeEnabled();
  await pedal.send(HOLD);
  await verdictDue(page);
  await pedal.send(PRESS);
  await judgedSecond(page);
  await pedal.send(TWICE);
  await expect(question(page)).toBeVisible();
  await page.waitForTimeout(2 * GATE_MS);
  await pedal.send(TWICE);
  await expect(places(page).nth(0)).toHaveAttribute('aria-pressed', 'true');
  await page.waitForTimeout(2 * GATE_MS);
  await pedal.send(PRESS);
  await expect(stageOf(page).getByRole('heading', { level: 1 })).toHaveText('G and D');
  await expect.poll(async () => (await lastMissed(host))?.broke?.to).toBe('D');
});

test('with nothing pressed the step is taken by itself', async ({ page, host }) => {
  await openSetUp(page, host);
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await verdictDue(page);
  await page.keyboard.press('ArrowDown');
  await expect(answer(page)).toHaveText('A rung slower: 360.');
  await expect(stageOf(page).getByText(/by itself in \d seconds?/)).toBeVisible();
  await glimpse(stageOf(page).getByText(/count-in at 360/));
});

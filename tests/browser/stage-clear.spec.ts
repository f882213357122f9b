// Nothing on the stage lies over what is read in time: the tour, remarks, two guitars, in small and enlarged windows.
import type { Locator, Page } from '@playwright/test';
import { GATE_MS } from '../../renderer/input/controls.ts';
import { expect, test } from './host.ts';
import { openShortClimb } from './view/short-climb.ts';
import { chartOf } from './record/chart-of.ts';

/** The last two are 1440 × 900 and 1024 × 700 at 200 %. */
const WINDOWS = [
  { width: 1440, height: 900 },
  { width: 1024, height: 700 },
  { width: 720, height: 450 },
  { width: 512, height: 350 },
];

type Box = { x: number; y: number; width: number; height: number };
const over = (a: Box, b: Box): boolean =>
  Math.min(a.x + a.width, b.x + b.width) - Math.max(a.x, b.x) > 1 &&
  Math.min(a.y + a.height, b.y + b.height) - Math.max(a.y, b.y) > 1;

const boxOf = async (what: Locator): Promise<Box> => {
  await expect(what).toBeVisible();
  return (await what.boundingBox())!;
};
const stageOf = (page: Page) => page.getByRole('region', { name: 'Stage' });
const panes = (page: Page) =>
  ['.now', '.next', '.bars'].map((one) => stageOf(page).locator(one).first());

async function begin(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await expect(stageOf(page).getByText('now', { exact: true })).toBeVisible({ timeout: 60_000 });
}

test('the tour and a remark cover no chord, bar or button in any window', async ({
  page,
  host,
}) => {
  const chart = chartOf('careful-teacher');
  await openShortClimb(page, host, {
    chart,
    ladder: { unit: 'section:Verse', rules: { start: 100, target: 120 } },
  });
  await begin(page);
  // Chords, tour and a line of bars have room beside each other here, so that nothing scrolls.
  await page.setViewportSize({ width: 800, height: 600 });
  const endOfBars = async () => {
    const { y, height } = await boxOf(stageOf(page).locator('.bars').first());
    return y + height;
  };
  await expect.poll(endOfBars).toBeLessThanOrEqual(600);
  for (const viewport of WINDOWS) {
    await page.setViewportSize(viewport);
    // Recording is asked for, or called off again: each is told.
    await page.waitForTimeout(2 * GATE_MS);
    await page.keyboard.press('r');
    const where = `at ${viewport.width} × ${viewport.height}`;
    await expect(async () => {
      const tour = await boxOf(page.getByRole('complementary', { name: 'Shown once' }));
      const remark = await boxOf(stageOf(page).locator('.remark').last());
      const buttons = await stageOf(page).locator('.buttons button').all();
      for (const what of [...panes(page), ...buttons]) {
        const box = await boxOf(what);
        const lies = `over ${await what.textContent()} ${where}`;
        expect(over(tour, box), `the tour ${lies}`).toBe(false);
        expect(over(remark, box), `the remark ${lies}`).toBe(false);
      }
      for (const chord of await stageOf(page).locator('.symbol').all()) {
        await expect(chord, where).toBeInViewport({ ratio: 1 });
      }
    }).toPass({ timeout: 20_000 });
  }
});

test('two guitars leave the chords their room in any window', async ({ page, host }) => {
  const chart = chartOf('tide-clock');
  await openShortClimb(page, host, {
    chart,
    ladder: { unit: 'section:Verse', rules: { start: 100, target: 120, beat: 'dotted-quarter' } },
    settings: { shown: ['care-before-first-sound', 'tour'] },
  });
  await begin(page);
  for (const viewport of WINDOWS) {
    await page.setViewportSize(viewport);
    const { width, height } = viewport;
    await expect(async () => {
      const [now, next, bars] = await Promise.all(panes(page).map(boxOf));
      const where = `${width} × ${height}`;
      expect(now!.height, where).toBeGreaterThan(0.2 * height);
      expect(next!.height, where).toBeGreaterThan(0.18 * height);
      expect(over(now!, bars!), where).toBe(false);
      expect(bars!.y + bars!.height, where).toBeLessThanOrEqual(height);
      await expect(stageOf(page).locator('.now .symbol')).toBeInViewport({ ratio: 1 });
    }).toPass();
  }
});

test('the lead that is climbed is in view in an enlarged window', async ({ page, host }) => {
  await page.setViewportSize({ width: 720, height: 450 });
  const chart = chartOf('wire-and-water');
  await openShortClimb(page, host, {
    chart,
    ladder: { unit: 'lead:Intro:Wire:Guitar 1:alone', rules: { start: 100, target: 120 } },
    settings: { shown: ['care-before-first-sound', 'tour'] },
  });
  await begin(page);
  await expect(stageOf(page).locator('.tab').first()).toBeInViewport({ ratio: 0.9 });
});

// A sitting in Chromium: a queue of two climbs lived through by keys, and a search for a start tempo.
import type { Page } from '@playwright/test';
import { unwrap } from '../../app/core/base/result.ts';
import { parseChart } from '../../app/core/chart/notation/parse.ts';
import { GATE_MS } from '../../renderer/input/controls.ts';
import { violationsOn } from './accessible.ts';
import { expect, test, type TestHost } from './host.ts';
import { USUAL_FINDER } from '../../app/core/ladder/tempo-finder.ts';
import { glimpse, judgeNext, logged, openShortClimb, verdicts } from './view/short-climb.ts';

async function queueTwo(page: Page, host: TestHost): Promise<void> {
  await openShortClimb(page, host);
  await page.getByRole('button', { name: 'Add to the queue' }).click();
  await page.getByRole('combobox', { name: 'Chart' }).selectOption('Paper Streetcar');
  const ladder = page.getByRole('complementary', { name: 'The ladder' });
  await expect(ladder.getByRole('heading', { name: 'Intro' })).toBeVisible();
  await page.getByRole('button', { name: 'Add to the queue' }).click();
  await page.getByRole('link', { name: 'Queue' }).click();
  await expect(page.getByText('20 minutes in all')).toBeVisible();
}

/** A second press sooner counts as the echo of the first. */
const apart = (page: Page) => page.waitForTimeout(2 * GATE_MS);

test('one climb after another by keys alone, the log kept, the end said', async ({
  page,
  host,
}) => {
  await queueTwo(page, host);
  expect(await violationsOn(page)).toEqual([]);
  await page.getByRole('button', { name: 'Begin', exact: true }).focus();
  await page.keyboard.press('Enter');
  await judgeNext(page, 1, 'ArrowUp');
  await expect.poll(async () => (await logged(host)).length).toBe(1);
  await page.keyboard.press('d');
  await expect(page.getByText('A turn of the queue is not left for a drill.')).toBeVisible();
  await apart(page);
  await page.keyboard.press('Escape');

  const between = page.getByRole('region', { name: 'Between two climbs' });
  await expect(between.getByRole('heading')).toHaveText('Next: Intro');
  await expect(between).toContainText('Paper Streetcar, 10 minutes. 1 climb to go.');
  expect(await violationsOn(page)).toEqual([]);
  await apart(page);
  await page.keyboard.press('Space');
  const stage = page.getByRole('region', { name: 'Stage' });
  await expect(stage.getByText('Paper Streetcar')).toBeVisible();
  await apart(page);
  await page.keyboard.press('Escape');
  await expect(page.getByRole('button', { name: 'Climb', exact: true })).toBeVisible();
});

test('“it hurts” between two climbs ends the sitting with the words of care', async ({
  page,
  host,
}) => {
  await queueTwo(page, host);
  await page.getByRole('button', { name: 'Begin', exact: true }).click();
  await expect(page.getByRole('region', { name: 'Stage' })).toBeVisible();
  await page.keyboard.press('Escape');
  await expect(page.getByRole('region', { name: 'Between two climbs' })).toBeVisible();
  await page.keyboard.press('KeyH');
  const end = page.getByRole('region', { name: 'The sitting has ended' });
  await expect(end).toContainText('Put the guitar down');
  await expect(end).toContainText('not medical advice');
  expect(await violationsOn(page)).toEqual([]);
  await end.getByRole('button', { name: 'Close' }).click();
  await expect(page.getByRole('button', { name: 'Climb', exact: true })).toBeVisible();
  expect(await logged(host)).toEqual([]);
});

test('“it hurts” inside a climb ends the whole sitting', async ({ page, host }) => {
  await queueTwo(page, host);
  await page.getByRole('button', { name: 'Begin', exact: true }).click();
  const stage = page.getByRole('region', { name: 'Stage' });
  await expect(stage).toBeVisible();
  await page.keyboard.press('KeyH');
  await expect(stage.getByRole('heading', { level: 2 })).toContainText('Put the guitar down');
  await stage.getByRole('button', { name: 'Back to the set-up' }).click();
  await expect(page.getByRole('button', { name: 'Climb', exact: true })).toBeVisible();
});

test('finds a start tempo in a few passes and climbs from there', async ({ page, host }) => {
  // A lap of eight beats: slow ones last three seconds.
  await openShortClimb(page, host, {
    chart: {
      id: 'two-four',
      ...unwrap(parseChart('title: Two\ntempo: 400\nmeter: 2/4\n\n[Verse]\n| G D |\n')),
    },
    ladder: { unit: 'section:Verse', rules: { start: 400, restBars: 2 } },
  });
  await page.getByRole('button', { name: 'Find my start' }).click();
  const stage = page.getByRole('region', { name: 'Stage' });
  const found = stage.getByRole('heading', { name: /is a comfortable start/ });
  await glimpse(verdicts(page));
  const judged = async () =>
    (await logged(host)).map(({ verdict }) => verdict).filter((verdict) => verdict !== 'unjudged');
  // Of somebody who is at ease near 210: the search comes down from 400, and ends soon.
  const TOO_FAST = 7;
  while (!(await found.isVisible())) {
    const missed = (await judged()).length < TOO_FAST;
    await page.keyboard.press(missed ? 'ArrowDown' : 'ArrowUp');
    await expect(verdicts(page)).toBeHidden();
    await glimpse(verdicts(page).or(found));
  }
  await expect(found).toHaveText(
    /^\d+ bpm is a comfortable start; it lies somewhere from \d+ to \d+/,
  );
  const start = Number((await found.innerText()).match(/^\d+/)?.[0]);
  await stage.getByRole('button', { name: `Climb from ${start}` }).click();
  await glimpse(stage.getByText(`count-in at ${start}`));
  await page.keyboard.press('Escape');
  const all = await judged();
  expect(all.length).toBeLessThanOrEqual(USUAL_FINDER.maxPasses);
  expect(all).toEqual(all.map((_, i) => (i < TOO_FAST ? 'missed' : 'clean')));
  expect(all).toContain('clean');
});

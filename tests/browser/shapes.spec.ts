// Shapes in Chromium: chosen and pinned in the editor, told when wrong, and side by side on the stage.
import type { Page } from '@playwright/test';
import { violationsOn } from './accessible.ts';
import { expect, test } from './host.ts';
import { CHART } from '../support/short-ladder.ts';
import { handle, openShortClimb } from './view/short-climb.ts';
import { chartText } from './view/chart-text.ts';

async function openVerse(page: Page): Promise<void> {
  await page.getByRole('link', { name: 'Copper Staircase' }).click();
  await page.getByText('Shapes and changes of Verse').click();
  await expect(page.getByRole('list', { name: 'Shapes of Verse' })).toBeVisible();
}

test('a shape is exchanged for another, for a grip with more or fewer strings, or for one’s own, and a wrong note is said', async ({
  trainer: page,
}) => {
  await openVerse(page);
  const shapes = page.getByRole('list', { name: 'Shapes of Verse' });
  await expect(
    shapes.getByRole('img', { name: /^B minor: barre at fret 2 with finger 1/ }),
  ).toBeVisible();
  await test.step('the pin of another is typed into the chart', async () => {
    await shapes.getByRole('button', { name: 'Others for F sharp major' }).click();
    const others = page.getByRole('list', { name: 'Other shapes for F sharp major' });
    await expect(others.getByText(/(easier|easy|harder) here/).first()).toBeVisible();
    const pin = others.getByRole('button', { name: /^Pin / }).first();
    const frets = (await pin.innerText()).replace(/^Pin\s*/, '');
    await pin.click();
    await expect(chartText(page)).toContainText(new RegExp(`shape F# = ${frets}`));
    await expect(shapes.getByRole('button', { name: 'Others for F sharp major' })).toBeFocused();
  });

  await test.step('one’s own is typed or clicked, named, and its wrong note is said', async () => {
    await page.getByRole('button', { name: 'Others for B minor' }).click();
    const own = page.getByRole('textbox', { name: 'Frets from string 6 to string 1' });
    await own.fill('x24442');
    await expect(page.getByText('This is B.')).toBeVisible();
    await expect(page.getByText('String 2 sounds E♭, which is not in Bm.')).toBeVisible();
    await expect(page.getByText('Bm lacks the ♭3 (D).')).toBeVisible();

    await own.fill('x2443');
    await expect(page.getByText(/has 5 strings, not 6/)).toBeVisible();

    await own.fill('x24432');
    await expect(page.getByText('It is all of Bm.')).toBeVisible();
    await page
      .getByRole('img', { name: /^Your own shape for Bm/ })
      .click({ position: { x: 29, y: 18 } });
    await expect(own).toHaveValue('024432');
    expect(await violationsOn(page)).toEqual([]);
  });

  await test.step('the same grip with strings more or fewer is pinned at a press', async () => {
    const variants = page.getByRole('list', { name: 'Variants of B minor' });
    await variants.getByRole('button', { name: 'Pin 224432' }).click();
    await expect(chartText(page)).toContainText(/shape Bm = 224432/);
  });
});

test('a pinned shape that is not its chord is told and kept at a press; under the bars it is said how shapes follow', async ({
  trainer: page,
}) => {
  await page.getByRole('link', { name: 'Copper Staircase' }).click();
  await chartText(page).fill('title: Pins\ntempo: 90\n[A]\n| G[x32010] | C |\nform: A');
  const told = page
    .getByRole('listitem')
    .filter({ hasText: 'String 5 sounds C, which is not in G' });
  await expect(told).toBeVisible();
  await expect(page.getByText('1 thing to check')).toBeVisible();
  await expect(page.getByRole('list', { name: 'Bars of A' })).toBeVisible();
  await told.getByRole('button', { name: 'Keep it', exact: true }).click();
  await expect(chartText(page)).toContainText('G[x32010!]');
  await expect(page.getByText('No mistakes.', { exact: true })).toBeVisible();

  await chartText(page).fill('title: Near\ntempo: 90\n[A]\n| C | Am | F |\nform: A');
  const bars = page.getByRole('list', { name: 'Bars of A' });
  await expect(
    bars.locator('.follows', { hasText: 'Am: only the ring finger moves' }),
  ).toBeVisible();
  await expect(
    bars.getByRole('button', { name: /^Bar 2, .*Am: only the ring finger moves/ }),
  ).toBeVisible();
});

test('the stage shows the shape now and the shape next, and says which fingers move', async ({
  page,
  host,
}) => {
  await openShortClimb(page, host, { ladder: { rules: { start: 60, target: 80 } } });
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  const stage = page.getByRole('region', { name: 'Stage' });
  await expect(stage.getByRole('img', { name: /^G major: barre at fret 3/ })).toBeVisible();
  await expect(stage.getByRole('img', { name: /^A major: .* moves?$/ })).toBeVisible();
  await expect(stage.getByRole('img', { name: /^G major: .*.* moves?$/ })).toBeVisible();
});

test('for the left hand the picture is mirrored', async ({ trainer: page, host }) => {
  const numberAt = async () => {
    await openVerse(page);
    const picture = page.getByRole('img', { name: /^B minor: barre at fret 2/ });
    const finger = picture.locator('text', { hasText: /^2$/ });
    const [box, whole] = [await finger.boundingBox(), await picture.boundingBox()];
    return (box!.x + box!.width / 2 - whole!.x) / whole!.width;
  };
  const right = await numberAt();
  await handle(host, 'settings.write', { patch: { leftHanded: true } });
  await page.goto(`${new URL(host.address).origin}/#/charts`);
  await page.reload();
  const left = await numberAt();
  expect(right).toBeGreaterThan(0.6);
  expect(left).toBeLessThan(0.45);
});

test('a shape is heard on its own, after the words of care', async ({ trainer: page }) => {
  const errors: string[] = [];
  page.on('pageerror', (error) => errors.push(error.message));
  await openVerse(page);
  await page.getByRole('button', { name: 'Play B minor' }).click();
  await page.getByRole('button', { name: /turned it down/ }).click();
  await expect(page.getByRole('dialog')).toBeHidden();
  await page.getByRole('button', { name: 'Play G major' }).click();
  await expect(page.getByRole('button', { name: 'Play G major' })).toBeEnabled();
  expect(errors).toEqual([]);
});

test('a chart is moved to another capo and another key from its table of chords', async ({
  trainer: page,
}) => {
  await page.getByRole('link', { name: 'Low Tide Lanterns' }).click();
  await page.getByText('Key and capo').click();
  await expect(
    page.getByText('Fingered in D major. With the capo at fret 2 it sounds in E major.'),
  ).toBeVisible();
  await expect(page.getByRole('row', { name: 'Bm C♯m vi 6m' })).toBeVisible();
  await page.getByLabel('Play the same sound with').selectOption({ label: 'capo at fret 4' });
  await expect(chartText(page)).toContainText(/key: C[^]*capo: 4/);
  await expect(page.getByRole('row', { name: 'Am C♯m vi 6m' })).toBeVisible();
  await page.getByRole('button', { name: 'All a semitone higher' }).click();
  await expect(chartText(page)).toContainText(/key: D♭/);
});

test('before a climb the hardest change is picked out and practised by itself', async ({
  trainer: page,
  host,
}) => {
  await page.goto(
    `${new URL(host.address).origin}/#/climb/${CHART}/${encodeURIComponent('section:Lift')}`,
  );
  await page.getByText('Its hardest changes').click();
  const first = page.getByRole('listitem').filter({ hasText: 'Em → F♯m' }).first();
  await first.locator('summary').click();
  await expect(first.getByRole('listitem').first()).toContainText(/\d ms$/);
  await expect(first.getByRole('listitem').nth(1)).toContainText('finger 1 slides: 147 mm along');
  await first.getByRole('button', { name: /Practise it.*Em to F♯m/ }).click();
  await expect(page.getByRole('heading', { name: 'Em and F#m' })).toBeVisible();
  await expect(page.getByText('Its hardest changes')).toBeFocused();
});

test('with the fewest barres easier shapes are shown, nothing is typed, and the wish lasts', async ({
  trainer: page,
}) => {
  await page.getByRole('link', { name: 'Copper Staircase' }).click();
  await chartText(page).fill('title: Easy\ntempo: 90\n[A]\n| F | C | F |\nform: A');
  await page.getByText('Shapes and changes of A').click();
  const shapes = page.getByRole('list', { name: 'Shapes of A' });
  await expect(shapes.getByRole('img', { name: /^F major: barre at fret 1/ })).toBeVisible();
  await page.getByRole('switch', { name: 'Fewest barres' }).click();
  await expect(shapes.getByText('Held easier, without a whole barre.')).toBeVisible();
  await expect(chartText(page)).not.toContainText('shape F');
  await page.goto(page.url().replace(/#.*/, '#/care'));
  await page.reload();
  await expect(page.getByRole('switch', { name: 'Fewest barres' })).toBeChecked();
});

test('a sheet of shapes only: every shape with frets, fingers and its sections', async ({
  trainer: page,
  host,
}) => {
  await page.goto(`${new URL(host.address).origin}/#/sheet/${CHART}`);
  await page.getByText('Shapes only').click();
  const sheet = page.getByRole('article', { name: 'Lesson sheet of Copper Staircase' });
  await expect(sheet.getByRole('heading', { name: 'Copper Staircase: shapes' })).toBeVisible();
  const bm = sheet.getByRole('listitem').filter({ hasText: 'x24432' });
  await expect(bm.getByRole('img')).toBeVisible();
  await expect(bm).toContainText('1\u20113\u20114\u20112');
  await expect(bm).toContainText('Verse');
  await expect(sheet.getByRole('heading', { name: 'Ladders' })).toBeHidden();
  await expect(sheet.getByRole('heading', { name: 'Verse' })).toBeHidden();
  expect(await violationsOn(page)).toEqual([]);
});

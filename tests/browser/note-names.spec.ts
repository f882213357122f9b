// A chart with German names of notes in Chromium: typed, drawn, shaped, climbed and printed in them.
import type { Page } from '@playwright/test';
import { expect, test } from './host.ts';
import { chartText } from './view/chart-text.ts';

const CHART = `title: Am Steg
names: german
key: h
tempo: 90
meter: 4/4

[Strophe]
| Hm | G | D/Fis | B7 |
`;

async function typed(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'New chart' }).click();
  await page.getByRole('button', { name: 'Type it all myself' }).click();
  await chartText(page).fill(CHART);
  await page.keyboard.press('Control+s');
  await expect(page.getByText('‘Am Steg’ is saved.')).toBeVisible();
  await expect(page).toHaveURL(/charts\/[0-9a-f-]{36}/);
}

test('German names stand in the drawing, the shapes, the palette and the table of the key', async ({
  trainer: page,
}) => {
  await typed(page);
  await page.getByRole('button', { name: 'All charts' }).click();
  await page.getByRole('link', { name: 'Am Steg' }).click();
  const bars = page.getByRole('list', { name: 'Bars of Strophe' });
  await expect(bars.getByRole('listitem')).toHaveText([
    /Bar 1, Hm/,
    /Bar 2, G/,
    /Bar 3, D\/Fis/,
    /Bar 4, B7/,
  ]);
  await page.getByText('Shapes and changes of Strophe').click();
  const shapes = page.getByRole('list', { name: 'Shapes of Strophe' });
  await expect(shapes.getByRole('img', { name: /^H minor/ })).toBeVisible();
  await expect(shapes.getByRole('img', { name: /^D major, Fis in the bass/ })).toBeVisible();
  await expect(page.getByText(/Hardest change here: .*(Hm|B7|Fis)/)).toBeVisible();
  await page.getByText('Key and capo').click();
  await expect(page.getByText('In H minor, without a capo.')).toBeVisible();
  await expect(page.getByRole('row', { name: 'Hm i 1m' })).toBeVisible();
  await page.getByRole('button', { name: 'All a semitone higher' }).click();
  const text = chartText(page);
  await expect(text).toContainText(/\| Cm \| As \| Es\/G \| (?:H7|Ces7) \|/);
});

test('German names stand in the choice of pairs, on the stage and on the sheet', async ({
  trainer: page,
  host,
}) => {
  await typed(page);
  const id = /charts\/([^/]+)/.exec(page.url())![1]!;
  const home = new URL(host.address).origin;
  await page.goto(`${home}/#/climb/${id}/${encodeURIComponent('pair:Bm:G')}`);
  await expect(page.getByRole('heading', { name: 'Hm and G' })).toBeVisible();
  await page.goto(`${home}/#/climb/${id}/${encodeURIComponent('section:Strophe')}`);
  await page.getByText('Its hardest changes').click();
  await expect(
    page.getByRole('button', { name: /Practise it.*(Hm|B7|Fis)/ }).first(),
  ).toBeVisible();
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await page.getByRole('button', { name: /turned it down/ }).click();
  await expect(page.getByRole('img', { name: /^H minor/ })).toBeVisible();
  await page.goto(`${home}/#/sheet/${id}`);
  const sheet = page.getByRole('article', { name: 'Lesson sheet of Am Steg' });
  await expect(sheet.getByText('D/Fis').first()).toBeVisible();
  await expect(sheet).not.toContainText('F♯');
});

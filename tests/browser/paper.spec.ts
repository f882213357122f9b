// The lesson sheet on paper: read back from its PDF, under the default print settings of a browser.
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { readChartText } from '../../app/core/chart/notation/chart-text.ts';
import { unwrap } from '../../app/core/base/result.ts';
import { shapesOf } from '../../renderer/screens/sheet/sheet-data.ts';
import { expect, test } from './host.ts';
import { linesOf, tabsOf } from './record/pdf-lines.ts';
import { handle } from './view/short-climb.ts';

/** Just under four minutes: three sections, words, a pickup, two guitars, an altered ending. */
const song = unwrap(
  readChartText(
    readFileSync(path.join(import.meta.dirname, 'record/lantern-ferry.chart.txt'), 'utf8'),
    'ferry',
  ),
);

test('a song of three sections stands on two pages, its leads with strings, stems and beams', async ({
  page,
  host,
}) => {
  await handle(host, 'charts.save', { chart: song });
  await page.goto(`${host.address}#/sheet/ferry`);
  const sheet = page.getByRole('article', { name: 'Lesson sheet of Lantern Ferry' });
  await expect(sheet.getByRole('heading', { name: 'Shapes', exact: true })).toBeVisible();
  // Every shape is there once, with each section that uses it.
  for (const { symbol, frets, sections } of shapesOf(song)) {
    const shape = sheet.getByRole('listitem').filter({ hasText: frets }).first();
    await expect(shape).toContainText(symbol);
    await expect(shape).toContainText(sections.join(', '));
  }
  // Bar 1 is the bar after the pickup; the words stand under their bars.
  const verse = sheet.getByRole('list', { name: 'Bars of Verse' }).getByRole('listitem');
  await expect(verse.nth(0)).toContainText('pickup');
  await expect(verse.nth(1)).toContainText('carry the lantern down');
  await expect(verse.nth(1).locator('.corner')).toHaveText('1');
  // The altered last bars are strummed like their section.
  const ending = sheet.getByRole('list', { name: 'Altered ending of Chorus' });
  await expect(ending.getByText(/^strokes: down/).first()).toBeAttached();

  for (const name of ['Ladders to tick', 'Signs explained']) {
    await page.getByRole('switch', { name }).or(page.getByLabel(name)).first().click();
  }
  await expect(sheet.getByRole('heading', { name: 'Ladders' })).toHaveCount(0);
  await page.emulateMedia({ media: 'print' });
  const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: false });
  expect(Number(/\/Count (\d+)/.exec(pdf.toString('latin1'))![1])).toBe(2);

  const [first = []] = linesOf(pdf);
  const tabs = tabsOf(first);
  expect(tabs).toHaveLength(4); // two bars of two guitars
  const under = tabs.map((tab) => {
    const { x, y, width } = tab[5]!;
    const signs = first.filter(
      (line) => line.y < y && line.y > y - 8 && line.x >= x - 1 && line.x < x + width,
    );
    return {
      stems: signs.filter((sign) => sign.width < 0.6 && sign.height > 1).length,
      beams: signs.filter((sign) => sign.height < 0.8 && sign.width > 2 && sign.width < 15).length,
    };
  });
  // The first bar: two beamed pairs of eighths and a half note; the second: one dotted quarter.
  expect(under.filter(({ stems, beams }) => stems === 5 && beams === 2)).toHaveLength(2);
  expect(under.filter(({ stems, beams }) => stems === 1 && beams === 0)).toHaveLength(2);
});

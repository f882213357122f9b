// The lesson sheet on paper: read back from its PDF, under the default print settings of a browser.
import type { Locator, Page } from '@playwright/test';
import type { Chart } from '../../app/core/model/chart.ts';
import { buildLap } from '../../app/core/timeline/lap.ts';
import { listUnits } from '../../app/core/units/resolve.ts';
import { shapesOf } from '../../renderer/screens/sheet/sheet-data.ts';
import { SHORT_LADDER } from '../support/short-ladder.ts';
import {
  atTestTime,
  expect,
  makeSteady,
  startHost,
  test,
  type TestHost,
  warningsIn,
} from './host.ts';
import { linesOf, tabsOf } from './record/pdf-lines.ts';
import { handle } from './view/short-climb.ts';
import { chartOf } from './record/chart-of.ts';

/** Just under four minutes: three sections, words, a pickup, two guitars, an altered ending. */
const song = chartOf('lantern-ferry');

/** Songs of three to four and a half minutes in three sections, as hard to set as those below. */
const SONGS = [
  'long-way',
  'four-minutes',
  'tide-clock',
  'wire-and-water',
  'clockwork',
  'twenty-doors',
  'nebel',
  'uneven-stairs',
  'grocer',
  'low-room',
];

/**
 * Hard to set: long names four to a bar, 12/8, 7/8 and meters that change, a capo, German names, up to five verses,
 * two guitars in sixteenths, slurs in one bar of a line, words longer than their bars, three endings, thirty shapes,
 * remarks, drop and open tunings, a left hand.
 */
const HARD = [
  ...SONGS,
  ...['am-steg', 'seven', 'orchard', 'long-words', 'again', 'left', 'careful-teacher'],
  'nine-engines',
];
const LEFT_HANDED = ['left', 'low-room'];

/** The whole form, in seconds. */
function lengthOf(chart: Chart): number {
  const [form] = listUnits(chart, 'form');
  const { unitStart, unitEnd } = buildLap(form!, chart.tempo.bpm, SHORT_LADDER.options);
  return unitEnd - unitStart;
}

/** What is printed in a bar, with its box in pixels; parts of one verse or lead are one. */
interface Printed {
  readonly bar: number;
  readonly what: string;
  readonly box: {
    readonly x: number;
    readonly y: number;
    readonly right: number;
    readonly bottom: number;
  };
}

/** Pairs that lie over each other by more than the rounding of a pixel. */
function collisions(printed: readonly Printed[]): string[] {
  const over = ({ box: a }: Printed, { box: b }: Printed): boolean =>
    Math.min(a.right, b.right) - Math.max(a.x, b.x) > 1 &&
    Math.min(a.bottom, b.bottom) - Math.max(a.y, b.y) > 1;
  return printed.flatMap((one, i) =>
    printed
      .slice(i + 1)
      .filter((other) => other.bar === one.bar && over(one, other))
      .map((other) => `bar ${one.bar}: ${one.what} over ${other.what}`),
  );
}

/** A chart's sheet as it is printed on A4, without the margins. */
async function show(page: Page, { id, title }: Chart): Promise<Locator> {
  await page.emulateMedia({ media: 'print' });
  await page.setViewportSize({ width: 695, height: 1000 });
  await page.evaluate((hash) => void (location.hash = hash), `#/sheet/${id}`);
  const sheet = page.getByRole('article', { name: `Lesson sheet of ${title}`, exact: true });
  await expect(sheet).toBeVisible();
  return sheet;
}

/** Shapes of a chart that no visible item of its sheet names with its frets. */
async function missingShapes(sheet: Locator, chart: Chart): Promise<string[]> {
  const shown = await sheet
    .getByRole('listitem')
    .evaluateAll((all) =>
      all
        .filter((one) => one.checkVisibility({ visibilityProperty: true }))
        .map((one) => one.textContent!.replaceAll(/\s+/g, ' ')),
    );
  return shapesOf(chart)
    .filter(
      ({ symbol, frets }) => !shown.some((text) => text.includes(symbol) && text.includes(frets)),
    )
    .map(({ symbol, frets }) => `${symbol} ${frets}`);
}

/** Nothing lies over anything else, and every shape is there. */
async function expectLegible(page: Page, chart: Chart): Promise<void> {
  const sheet = await show(page, chart);
  await expect(sheet.getByRole('heading', { name: 'Shapes', exact: true })).toBeVisible();
  const bars = sheet.locator('.bar');
  await expect.poll(() => bars.count()).toBeGreaterThan(8);
  const printed = await bars.evaluateAll((all): Printed[] =>
    all.flatMap((bar, index) => {
      const parts =
        '.chord, .sung, .told > p, .corner > *, .times, .dots, .slash, .simile, .above > :not(.unseen), .below > :not(.unseen)';
      return [...bar.querySelectorAll(parts)].flatMap((part) => {
        const text = document.createRange();
        text.selectNodeContents(part);
        const box = part.textContent === '' || part.querySelector('svg') ? part : text;
        const { x, y, right, bottom, width } = box.getBoundingClientRect();
        const what = `${part.getAttribute('class')?.split(' ')[0] ?? ''} ${part.textContent}`;
        return width > 0 ? [{ bar: index, what, box: { x, y, right, bottom } }] : [];
      });
    }),
  );
  expect(collisions(printed)).toEqual([]);
  const sizes = await sheet
    .locator('.chord')
    .evaluateAll((all) => all.map((one) => Number.parseFloat(getComputedStyle(one).fontSize)));
  // 9 px are 6.75 points.
  expect(Math.min(...sizes)).toBeGreaterThanOrEqual(9);
  await expect.poll(() => missingShapes(sheet, chart)).toEqual([]);
  // Captions stay beside their diagrams, clear of the next one.
  const crowded = await sheet.locator('.shapes').evaluate((list) => {
    const boxes = [...list.querySelectorAll('li')].flatMap((one) =>
      [...one.querySelectorAll('svg, strong, b, p')].map((part) => {
        const { x, y, right, bottom } = part.getBoundingClientRect();
        return { one, x, y, right, bottom };
      }),
    );
    return boxes.flatMap((a, i) =>
      boxes
        .slice(i + 1)
        .filter(
          (b) =>
            a.one !== b.one &&
            Math.min(a.right, b.right) - Math.max(a.x, b.x) > 1 &&
            Math.min(a.bottom, b.bottom) - Math.max(a.y, b.y) > 1,
        )
        .map((b) => `${a.one.textContent} over ${b.one.textContent}`),
    );
  });
  expect(crowded).toEqual([]);
}

/** A song of some four minutes in three sections, on either paper. */
async function expectTwoPages(page: Page, chart: Chart): Promise<void> {
  const sheet = await show(page, chart);
  await page.emulateMedia({ media: null });
  for (const heading of ['Form', 'Shapes', 'Ladders', 'Signs']) {
    await expect(sheet.getByRole('heading', { name: heading, exact: true })).toBeVisible();
  }
  expect(chart.sections).toHaveLength(3);
  expect(lengthOf(chart) / 60).toBeGreaterThan(3);
  for (const paper of ['A4', 'Letter']) {
    await page.getByLabel('Paper').selectOption(paper);
    const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: false });
    expect(Number(/\/Count (\d+)/.exec(pdf.toString('latin1'))![1]), paper).toBe(2);
  }
}

/** What is to be said of a chart's sheet by itself. */
async function expectGoodSheet(page: Page, name: string): Promise<void> {
  await expectLegible(page, chartOf(name));
  if (SONGS.includes(name)) await expectTwoPages(page, chartOf(name));
}

const titleOf = (name: string): string =>
  `nothing collides on the sheet of ${name}, and every chord can be read` +
  (SONGS.includes(name) ? '; it stands on two pages of either paper' : '');

for (const name of LEFT_HANDED) {
  test(titleOf(name), async ({ page, host }) => {
    await handle(host, 'charts.save', { chart: chartOf(name) });
    await handle(host, 'settings.write', { patch: { leftHanded: true } });
    await page.goto(`${host.address}#/sheet`);
    await expectGoodSheet(page, name);
  });
}

test.describe('one after the other in one room', () => {
  let host: TestHost;
  let page: Page;
  let warnings: () => string[];
  test.beforeAll(async ({ browser }) => {
    host = await startHost();
    for (const chart of [song, ...HARD.map(chartOf)]) await handle(host, 'charts.save', { chart });
    page = await browser.newPage();
    await atTestTime(page.context());
    await makeSteady(page);
    warnings = await warningsIn(page);
    await page.goto(`${host.address}#/sheet`);
  });
  test.afterAll(async () => {
    await page.close();
    await host.close();
    expect(warnings()).toEqual([]);
  });

  for (const name of HARD.filter((name) => !LEFT_HANDED.includes(name))) {
    test(titleOf(name), () => expectGoodSheet(page, name));
  }

  test('chords stand level in a line, and each verse reads across its bars', async () => {
    const tops = (label: string, part: string) =>
      page
        .getByRole('list', { name: label })
        .getByRole('listitem')
        .evaluateAll(
          (all, selector) =>
            all.flatMap((bar) =>
              [...bar.querySelectorAll(selector)]
                .slice(-1)
                .map((one) => one.getBoundingClientRect().y),
            ),
          part,
        );
    await show(page, song);
    await expect(page.getByRole('list', { name: 'Bars of Verse' }).first()).toBeVisible();
    // Bar 5 has two guitars over its chords, 6 to 8 none; the pickup is the first of all.
    expect(new Set((await tops('Bars of Verse', '.chords')).slice(5, 9)).size).toBe(1);
    await show(page, chartOf('long-way'));
    await expect(page.getByRole('list', { name: 'Bars of Intro' }).first()).toBeVisible();
    expect(new Set((await tops('Bars of Verse', '.sung')).slice(0, 2)).size).toBe(1);
  });

  test('strings stand level in a line, also where one bar of it has slurs', async () => {
    await show(page, chartOf('orchard'));
    const bars = page.getByRole('list', { name: 'Bars of Intro' }).getByRole('listitem');
    await expect(bars).toHaveCount(4);
    const firstStrings = await bars.evaluateAll((all) =>
      all.map((bar) =>
        [...bar.querySelectorAll('.lines')]
          .map((lines) => Math.round(lines.getBoundingClientRect().y))
          .join(),
      ),
    );
    expect(new Set(firstStrings).size).toBe(1);
  });
});

test('only signs that stand on a sheet are explained, and every one that does', async ({
  page,
  host,
}) => {
  await handle(host, 'charts.save', { chart: chartOf('wire-and-water') });
  await handle(host, 'charts.save', { chart: chartOf('low-room') });
  const signs = page
    .locator('section')
    .filter({ has: page.getByRole('heading', { name: 'Signs' }) });
  await page.goto(`${host.address}#/sheet/wire-and-water`);
  await expect(signs.getByText('damped with the palm')).toBeVisible();
  await expect(signs.getByText('accent')).toBeVisible();
  await expect(signs.getByText('under a stroke: muted')).toBeHidden();
  await expect(signs.getByText('play the bar before again')).toBeHidden();
  await page.getByLabel('Chart', { exact: true }).selectOption('Low Room');
  await expect(signs.getByText('play the bar before again')).toBeVisible();
  await expect(signs.getByText('damped with the palm')).toBeHidden();
  await expect(signs.getByText('hammer-on')).toHaveCount(0);
});

test('a page ends between two lines of bars, and nothing lies over what moved on', async ({
  page,
  host,
}) => {
  await handle(host, 'charts.save', { chart: chartOf('four-minutes') });
  await page.goto(`${host.address}#/sheet/four-minutes`);
  await expect(page.getByRole('heading', { name: 'Signs', exact: true })).toBeVisible();
  const pdf = await page.pdf({ preferCSSPageSize: true, printBackground: false });
  const pages = linesOf(pdf);
  expect(pages.length).toBeGreaterThan(1);
  for (const [index, lines] of pages.entries()) {
    // Bar lines of one column: each ends before the next one below it begins. `y` is the upper end, counted from below.
    const upright = lines.filter(({ width, height }) => width < 1 && height > 10);
    for (const [x, column] of Map.groupBy(upright, (line) => Math.round(line.x))) {
      const sorted = column.toSorted((a, b) => b.y - a.y);
      sorted.slice(1).forEach(({ y }, i) => {
        const end = sorted[i]!.y - sorted[i]!.height;
        expect(y, `page ${index + 1}, ${x} mm from the left`).toBeLessThan(end + 0.5);
      });
    }
  }
  expect(pages[0]!.filter(({ width, height }) => width < 1 && height > 10).length).toBeGreaterThan(
    20,
  );
});

test('a song of three sections stands on two pages, its leads with strings, stems and beams', async ({
  page,
  host,
}) => {
  await handle(host, 'charts.save', { chart: song });
  await page.goto(`${host.address}#/sheet/lantern-ferry`);
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

  // With its ladders and signs, of which only those that stand on it are explained.
  await expect(sheet.getByText('hammer-on: the second note is not picked')).toBeVisible();
  await expect(sheet.getByText('vibrato')).toHaveCount(0);
  const pagesOf = async () => {
    await page.emulateMedia({ media: 'print' });
    const whole = await page.pdf({ preferCSSPageSize: true, printBackground: false });
    await page.emulateMedia({ media: 'screen' });
    return Number(/\/Count (\d+)/.exec(whole.toString('latin1'))![1]);
  };
  expect(await pagesOf()).toBe(2);
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

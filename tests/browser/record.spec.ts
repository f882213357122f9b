// The record in the browser: today's plan, the desk with sheet out and report back, history, lesson sheet.
import { readFile } from 'node:fs/promises';
import type { Download, Page } from '@playwright/test';
import Papa from 'papaparse';
import { daysAgo } from '../support/test-time.ts';
import { violationsInBoth } from './accessible.ts';
import { atTestTime, expect, startHost, test, type TestHost } from './host.ts';
import { handle, logged } from './view/short-climb.ts';
import { chart, diary, ownDesk, units } from './record/diary.ts';

const daysOn = (days: number): string => daysAgo(-days);
/** Two days ago, so that no unit has been played today. */
const LAST_PLAYED = daysOn(-2);

/** A player with three weeks of practice on five units, two of them set by a teacher. */
async function seed(host: TestHost, due = daysOn(12)): Promise<void> {
  const entries = diary({ until: LAST_PLAYED, days: 21, passesPerDay: 16, units: 5 });
  await handle(host, 'log.append', { entries });
  await handle(host, 'students.save', { student: ownDesk(due, `${daysOn(-21)}T10:00:00Z`) });
  await handle(host, 'settings.write', { patch: { shown: ['care-before-first-sound'] } });
}

async function open(page: Page, host: TestHost, room: string): Promise<void> {
  await page.goto(`${host.address}#/${room}`);
  await expect(page.getByRole('heading', { level: 1 })).toBeVisible();
}

async function textOf(download: Promise<Download>): Promise<string> {
  return readFile(await (await download).path(), 'utf8');
}

test.describe('today', () => {
  test('plans with reasons, can be changed, and starts with one key', async ({ page, host }) => {
    await seed(host);
    await open(page, host, 'today');
    const plan = page.getByRole('list', { name: 'Today’s plan' });
    const lines = plan.locator('> li');
    await expect(lines.first()).toContainText('Due in 12 days');
    await expect(lines.first().getByRole('list', { name: 'Why' })).toContainText('minutes done');

    await expect(page.getByRole('list', { name: 'This week' })).toBeVisible();
    await expect(page.getByRole('heading', { name: 'What moved last time' })).toBeVisible();
    // Set from 33 on by the teacher; the player owns near 50 by now.
    const begunHigher = /^Ladder of \d rungs, from 4\d bpm/;
    await expect(page.getByRole('img', { name: begunHigher })).toBeVisible();

    const first = await lines.first().getByRole('heading').innerText();
    await page.getByRole('spinbutton', { name: 'Minutes I have' }).fill('60');
    await expect(page.getByText('of 60 minutes planned')).toBeVisible();
    await lines
      .first()
      .getByRole('button', { name: /^Later/ })
      .click();
    await expect(lines.nth(1).getByRole('heading')).toHaveText(first);
    await expect(page.getByText(/is now line 2\./)).toBeAttached();
    await lines
      .nth(1)
      .getByRole('button', { name: /^Not today/ })
      .click();
    await expect(page.getByText(/^Not in today’s plan/)).toBeVisible();
    await page.getByRole('button', { name: 'Plan it anew' }).click();
    await expect(lines.first().getByRole('heading')).toHaveText(first);

    await page.getByRole('heading', { level: 1 }).focus();
    await page.keyboard.press('Space', { delay: 80 });
    await expect(page).toHaveURL(/#\/climb/);
    await expect(page.getByRole('button', { name: 'Pause' })).toBeVisible();
    await expect(page.getByRole('img', { name: begunHigher })).toBeVisible();
  });

  test('says with figures that a date cannot be kept', async ({ page, host }) => {
    await seed(host, daysOn(1));
    await open(page, host, 'today');
    await expect(page.getByRole('list', { name: 'Today’s plan' })).toContainText(
      /Due in 1 day, but at this pace it reaches about \d+ \(at best \d+\), not \d+\./,
    );
  });

  test('sets oneself a whole chart, and takes one line back', async ({ page, host }) => {
    await open(page, host, 'today');
    await page.getByRole('button', { name: 'Set myself something' }).click();
    const dialog = page.getByRole('dialog', { name: 'Set myself something' });
    await dialog.getByLabel('Chart').selectOption(chart.id);
    await dialog
      .getByLabel('What')
      .selectOption({ label: `The whole chart: ${units.length} parts` });
    await dialog.getByLabel('Due').fill(daysOn(30));
    await dialog.getByRole('button', { name: /^Set \d+ parts$/ }).click();
    const set = page.getByRole('region', { name: 'What was set' });
    await expect(set.getByText('Set by yourself')).toHaveCount(units.length);
    await set
      .getByRole('button', { name: /^Take back/ })
      .first()
      .click();
    await expect(set.getByText('Set by yourself')).toHaveCount(units.length - 1);
    // At once only what is not set yet: nothing is set twice.
    await page.getByRole('button', { name: 'Set myself something' }).click();
    await dialog.getByLabel('Chart').selectOption(chart.id);
    await dialog.getByLabel('What').selectOption({ label: 'The rest of the chart: 1 part' });
    await dialog.getByRole('button', { name: 'Set 1 part', exact: true }).click();
    await expect(set.getByText('Set by yourself')).toHaveCount(units.length);
  });
});

test('a task sheet goes out, a report comes back, and twice changes nothing', async ({
  page,
  host,
}) => {
  const home = await startHost();
  try {
    // The teacher sets something and writes the sheet.
    await open(page, host, 'desk');
    await page.getByLabel('Your own name').fill('Ms Tern');
    await page.getByLabel('New student').fill('Ada');
    await page.getByRole('button', { name: 'Add', exact: true }).click();
    await page.getByRole('button', { name: 'Set something' }).click();
    const dialog = page.getByRole('dialog', { name: 'Set something for Ada' });
    await dialog.getByLabel('Chart').selectOption(chart.id);
    await dialog.getByLabel('What').selectOption(units[0]!.key);
    await dialog.getByLabel('Due').fill(daysOn(20));
    await dialog.getByLabel('Note').fill('Slow hands.');
    await dialog.getByRole('button', { name: 'Set it' }).click();
    await expect(page.getByText('Slow hands.')).toBeVisible();
    const download = page.waitForEvent('download');
    await page.getByRole('button', { name: 'Write the task sheet' }).click();
    const sheet = {
      name: 'sheet.json',
      mimeType: 'application/json',
      buffer: Buffer.from(await textOf(download)),
    };

    // The student looks at it, takes it in, and once more.
    const student = await page.context().browser()!.newPage();
    await atTestTime(student.context());
    await handle(home, 'log.append', {
      entries: diary({ until: LAST_PLAYED, days: 4, passesPerDay: 12, units: 1 }),
    });
    await open(student, home, 'today');
    const bring = async () => {
      const chooser = student.waitForEvent('filechooser');
      await student.getByRole('button', { name: 'Open a task sheet' }).click();
      await (await chooser).setFiles(sheet);
    };
    await bring();
    const preview = student.getByRole('dialog', { name: 'Task sheet' });
    await expect(preview).toContainText('From Ms Tern for Ada');
    await expect(preview.getByRole('listitem').filter({ hasText: 'new' })).toHaveCount(1);
    expect(await handle(home, 'students.list', {})).toMatchObject({ students: [] });
    await preview.getByRole('button', { name: 'Take it in' }).click();
    await expect(student.getByText('Set by Ms Tern')).toBeVisible();
    await bring();
    await expect(preview).toContainText('Everything in it is here already.');
    await preview.getByRole('button', { name: 'Close' }).click();

    // The report goes back by drag and drop.
    await student.getByRole('button', { name: 'Hand back a report' }).click();
    const written = student.waitForEvent('download');
    await student.getByRole('button', { name: 'Write the report' }).click();
    const report = await textOf(written);
    await student.close();
    await drop(page, report);
    const incoming = page.getByRole('dialog', { name: 'Practice report' });
    await expect(incoming).toContainText('48 passes');
    await incoming.getByRole('button', { name: 'Take it in' }).click();
    await expect(page.getByText(/Newest report/)).toBeVisible();
    await expect(page.getByText(/judged by the student/).first()).toBeVisible();
    await drop(page, report);
    await expect(incoming).toContainText('Everything in it is here already.');
    // The teacher's own log stays their own.
    expect(await logged(host)).toEqual([]);
  } finally {
    await home.close();
  }
});

/** Drops a file on the middle of the page. */
async function drop(page: Page, text: string): Promise<void> {
  const data = await page.evaluateHandle((content) => {
    const transfer = new DataTransfer();
    transfer.items.add(new File([content], 'report.json', { type: 'application/json' }));
    return transfer;
  }, text);
  const place = page.locator('.drop');
  await place.dispatchEvent('dragenter', { dataTransfer: data });
  await expect(page.getByText(/^Drop a practice report/)).toBeVisible();
  await place.dispatchEvent('drop', { dataTransfer: data });
}

test('a broken file is named and changes nothing', async ({ page, host }) => {
  await seed(host);
  const before = await handle(host, 'students.list', {});
  await open(page, host, 'desk');
  for (const [text, words] of [
    ['{"format": "rungwise-practice-report", "schemaVersion": 9}', 'Update Rungwise'],
    ['{"format": "rungwise-task-sheet", "schemaVersion": 1, "wri', 'breaks off'],
    ['{"format": "something-else"}', 'is ‘something-else’'],
  ] as const) {
    await drop(page, text);
    await expect(page.getByText(/The file ‘report\.json’ was not taken in/).last()).toContainText(
      words,
    );
  }
  expect(await handle(host, 'students.list', {})).toEqual(before);
});

test.describe('the desk', () => {
  test('puts who needs help first; histories, terms, comments and who is on the list are each student’s own', async ({
    page,
    host,
  }) => {
    for (const [id, name, due, end] of [
      ['st-fine', 'Pia', 60, 1],
      ['st-late', 'Mira', -3, 1],
      ['st-gone', 'Jonas', 60, 20],
    ] as const) {
      const student = { ...ownDesk(daysOn(due), `${daysOn(-40)}T10:00:00Z`), id, name };
      await handle(host, 'students.save', { student });
      const choices = { until: daysOn(-end), days: 12, passesPerDay: 30, units: 2, prefix: id };
      await handle(host, 'log.append', { desk: id, entries: diary(choices) });
    }
    await open(page, host, 'desk');
    const names = page.getByRole('navigation', { name: /Students/ }).getByRole('button');
    await test.step('who needs help stands first, with the reason', async () => {
      await expect(names.first()).toContainText(/Mira.*past its date by 3 days/s);
      await expect(names).toHaveCount(3);
    });

    await test.step('revised terms are kept as history, comments with their dates', async () => {
      await names.filter({ hasText: 'Pia' }).click();
      await page.getByRole('button', { name: `Change ${units[0]!.name}` }).click();
      const dialog = page.getByRole('dialog');
      await dialog.getByRole('spinbutton', { name: 'Target' }).fill('99');
      await dialog.getByRole('button', { name: 'Keep these terms' }).click();
      await page.getByText('1 revision').click();
      await expect(page.getByText(`target ${units[0]!.tempo.bpm} → 99`)).toBeVisible();
      await page.getByLabel('New comment').fill('Lighter left hand.');
      await page.getByRole('button', { name: 'Keep the comment' }).click();
      await expect(page.getByText('Lighter left hand.')).toBeVisible();
    });

    await test.step('the table of all', async () => {
      const download = page.waitForEvent('download');
      await page.getByRole('button', { name: 'Save all as CSV' }).click();
      const { data, errors } = Papa.parse<Record<string, string>>(await textOf(download), {
        header: true,
        skipEmptyLines: true,
      });
      expect(errors).toEqual([]);
      expect(data).toHaveLength(6);
      expect(data.find((row) => row['target'] === '99')).toMatchObject({
        student: 'Pia',
        revisions: '1',
      });
    });

    await test.step('a student is taken off and brought back', async () => {
      await names.filter({ hasText: 'Mira' }).click();
      await page.getByRole('button', { name: 'Take off' }).click();
      await expect(names).toHaveCount(2);
      await page.getByRole('button', { name: 'Undo' }).click();
      await expect(names).toHaveCount(3);
    });

    await test.step('a student’s history stands apart from the teacher’s own', async () => {
      await names.filter({ hasText: 'Pia' }).click();
      await page.getByRole('button', { name: `History of ${units[1]!.name}` }).click();
      await expect(page.getByText('720 passes of 2 parts')).toBeVisible();
      await expect(page.getByLabel('Whose')).toHaveValue('st-fine');
      await page.getByLabel('Whose').selectOption('My own');
      await expect(page.getByText('There is no pass in this log yet.')).toBeVisible();
    });
  });
});

test.describe('history', () => {
  /** The owned tempos come a moment after the passes. */
  const WHOLLY_DRAWN = /tempo of every pass: .*owned tempo on/;
  test.beforeEach(({ host }) => seed(host));

  test('draws a unit; gives its figures as a table and a file, its pictures as the screen shows them; filters', async ({
    page,
    host,
  }) => {
    await open(page, host, `history/${chart.id}/${encodeURIComponent(units[1]!.key)}`);
    await test.step('the unit is drawn, its figures stand in a table and a file', async () => {
      const plot = page.getByRole('img', { name: /tempo of every pass: 336 passes, target/ });
      await expect(plot).toBeVisible();
      await expect.poll(() => inked(plot.locator('canvas'))).toBeGreaterThan(2_000);

      const panel = page.getByRole('region', { name: /tempo of every pass/ });
      await panel.getByText('The figures as a table').click();
      await expect(panel.getByRole('row')).toHaveCount(51);
      await panel.getByRole('button', { name: 'Next page' }).click();
      await expect(panel.getByText('Page 2 of 7')).toBeVisible();

      const csv = page.waitForEvent('download');
      await panel.getByRole('button', { name: /as CSV$/ }).click();
      expect(Papa.parse(await textOf(csv), { skipEmptyLines: true }).data).toHaveLength(337);
    });

    await test.step('each of its four pictures is saved as SVG and as PNG, all in one way', async () => {
      await expect(page.getByRole('img', { name: WHOLLY_DRAWN })).toBeVisible();
      for (const name of [
        'tempo of every pass',
        'changes that break',
        'week by week',
        'practice days',
      ]) {
        const panel = page.getByRole('region', { name: new RegExp(`${name}$`) });
        const canvas = panel.locator('canvas');
        const plotted = ['tempo of every pass', 'week by week'].includes(name);
        if (plotted) await expect.poll(() => inked(canvas)).toBeGreaterThan(500);
        const before = plotted && (await pictureOf(canvas));
        const svg = page.waitForEvent('download');
        await panel.getByRole('button', { name: /as SVG$/ }).click();
        const text = await textOf(svg);
        expect(text).toMatch(/^<svg[^>]* xmlns="http:\/\/www\.w3\.org\/2000\/svg"/);
        expect(await wellFormed(page, text), name).toBe(true);
        expect(text).toContain(`, ${name}</text>`);
        if (plotted) {
          // Edges are smoothed a little differently; a missing line or mark would be far more.
          expect(await differingShare(canvas, text), name).toBeLessThan(0.002);
          expect(await pictureOf(canvas), `${name}, left as it was`).toBe(before);
        }
        const png = page.waitForEvent('download');
        await panel.getByRole('button', { name: /as PNG$/ }).click();
        const picture = await readFile(await (await png).path());
        expect(picture.subarray(1, 4).toString()).toBe('PNG');
      }
    });

    await test.step('it is filtered by who judged', async () => {
      await page.getByLabel('Judged by').selectOption('ear');
      await expect(page.getByText('672 passes of 2 parts')).toBeVisible();
      await page.getByLabel('Judged by').selectOption('teacher');
      await expect(page.getByText('No pass fits these filters.')).toBeVisible();
    });
  });

  const pictureOf = (canvas: ReturnType<Page['locator']>): Promise<string> =>
    canvas.evaluate((element: HTMLCanvasElement) => element.toDataURL());

  const wellFormed = (page: Page, svg: string): Promise<boolean> =>
    page.evaluate(
      (text) =>
        new DOMParser().parseFromString(text, 'image/svg+xml').querySelector('parsererror') ===
        null,
      svg,
    );

  /** Share of the canvas's pixels that the picture, drawn at the plot's place in it, does not have likewise. */
  const differingShare = (canvas: ReturnType<Page['locator']>, svg: string): Promise<number> =>
    canvas.evaluate(async (element: HTMLCanvasElement, text: string) => {
      const image = new Image();
      image.src = URL.createObjectURL(new Blob([text], { type: 'image/svg+xml' }));
      await image.decode();
      const { width, height } = element;
      const pixels = (draw: (ctx: CanvasRenderingContext2D) => void) => {
        const ctx = Object.assign(document.createElement('canvas'), { width, height }).getContext(
          '2d',
        )!;
        draw(ctx);
        return ctx.getImageData(0, 0, width, height).data;
      };
      const drawn = pixels((ctx) => ctx.drawImage(image, -12, -36));
      const paper = [...drawn.subarray(0, 4)].slice(0, 3).join();
      const shown = pixels((ctx) => {
        ctx.fillStyle = `rgb(${paper})`;
        ctx.fillRect(0, 0, width, height);
        ctx.drawImage(element, 0, 0);
      });
      let apart = 0;
      for (let i = 0; i < shown.length; i++) apart += Math.abs(shown[i]! - drawn[i]!) > 100 ? 1 : 0;
      return apart / (width * height);
    }, svg);

  test('zooms by keyboard', async ({ page, host }) => {
    await open(page, host, 'history');
    const plot = page.getByRole('img', { name: WHOLLY_DRAWN });
    await expect(plot).toBeVisible();
    const drawn = () => pictureOf(plot.locator('canvas'));
    const before = await drawn();
    await page.getByRole('button', { name: 'Closer' }).first().focus();
    await page.keyboard.press('Enter');
    await expect.poll(drawn).not.toBe(before);
    await page.getByRole('button', { name: 'All of it' }).first().focus();
    await page.keyboard.press('Enter');
    await expect.poll(drawn).toBe(before);
  });

  /** Pixels of the canvas that are not empty. */
  const inked = (canvas: ReturnType<Page['locator']>): Promise<number> =>
    canvas.evaluate((element: HTMLCanvasElement) => {
      const { width, height } = element;
      const { data } = element.getContext('2d')!.getImageData(0, 0, width, height);
      return data.filter((value, i) => i % 4 === 3 && value > 0).length;
    });
});

test.describe('the lesson sheet', () => {
  test('has form, bars, shapes, ladders with boxes and a legend; prints alone on either paper', async ({
    page,
    host,
  }) => {
    await seed(host);
    await open(page, host, `sheet/${chart.id}`);
    const sheet = page.getByRole('article', { name: `Lesson sheet of ${chart.title}` });
    for (const heading of ['Form', 'Shapes', 'Ladders', 'Signs']) {
      await expect(sheet.getByRole('heading', { name: heading, exact: true })).toBeVisible();
    }
    await expect(sheet.getByText('2 boxes to tick').first()).toBeAttached();
    await expect(sheet.getByText('Slow hands, quick eyes.').first()).toBeVisible();

    await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
    await expect(page.getByRole('navigation')).toBeHidden();
    await expect(page.getByRole('button', { name: 'Print' })).toBeHidden();
    await expect(sheet).toBeVisible();
    expect(await sheet.evaluate((element) => getComputedStyle(element).color)).toBe('rgb(0, 0, 0)');
    // Sizes in PDF points (1/72 inch): A4 is 210 × 297 mm (ISO 216), Letter 8.5 × 11 inches.
    for (const [paper, width, height] of [
      ['A4', 595, 842],
      ['Letter', 612, 792],
    ] as const) {
      await page.emulateMedia({ media: 'screen' });
      await page.getByLabel('Paper').selectOption(paper);
      await page.emulateMedia({ media: 'print' });
      const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
      const box = /MediaBox ?\[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf)!;
      expect(Number(box[1])).toBeCloseTo(width, -0.5);
      expect(Number(box[2])).toBeCloseTo(height, -0.5);
      const pages = Number(/\/Count (\d+)/.exec(pdf)![1]);
      expect(pages).toBeGreaterThanOrEqual(2);
      expect(pages).toBeLessThanOrEqual(5);
    }
  });
});

test('axe finds nothing in the record, in light and dark', async ({ page, host }) => {
  await seed(host);
  const own = ownDesk(daysOn(-2), `${daysOn(-20)}T10:00:00Z`);
  await handle(host, 'students.save', { student: { ...own, id: 'st', name: 'Mira' } });
  const whole = {
    today: page.getByRole('heading', { name: 'What moved last time' }),
    log: page.getByRole('article').first(),
    history: page.getByRole('img', { name: /tempo of every pass: .*owned tempo on/ }),
    desk: page.getByRole('region', { name: 'Before the lesson' }),
    sheet: page.getByRole('heading', { name: 'Signs', exact: true }),
  };
  await open(page, host, 'charts');
  for (const room of ['today', 'log', 'history', 'desk', 'sheet'] as const) {
    await page.evaluate((hash) => void (location.hash = hash), `#/${room}`);
    await expect(whole[room]).toBeVisible();
    for (const details of await page.locator('main details').all()) await details.click();
    expect.soft(await violationsInBoth(page), room).toEqual([]);
  }
});

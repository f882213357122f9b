// Files of charts in Chromium: every kind of export as downloaded bytes, cancelling, and scores brought in.
// Read back by musicxml-io 0.9.6, midi-file 1.2.4, @tonejs/midi 2.0.28 and wavefile 11.0.0.
import fs from 'node:fs';
import type { Page } from '@playwright/test';
import tonejsMidi from '@tonejs/midi';
import { parseMidi } from 'midi-file';
import { strToU8, zipSync } from 'fflate';
import * as io from 'musicxml-io';
import wavefile from 'wavefile';
import { parseChart } from '../../app/core/chart/notation/parse.ts';
import { unwrap } from '../../app/core/base/result.ts';
import { violationsInBoth } from './accessible.ts';
import { expect, test, type TestHost } from './host.ts';

const CHART = `title: Two Bars
tempo: ♩ = 120
meter: 4/4

[Riff]
| G | D |
line: Hook, bar 1
part Guitar 1: | 2 3/7b1 4 3/7 h9 | 1 2/8~ |

form:
Riff
`;

/** Opens the Charts room, where a chart of two bars is, and the question of a chart. */
async function openExport(page: Page, host: TestHost, title = 'Two Bars') {
  const chart = { id: 'two-bars', ...unwrap(parseChart(CHART)) };
  expect(await host.services.handle('charts.save', { chart })).toMatchObject({ ok: true });
  await page.goto(`${host.address}#/charts`);
  return askExport(page, title);
}

async function askExport(page: Page, title = 'Two Bars') {
  const actions = page.getByRole('group', { name: `Actions for ${title}`, exact: true });
  await actions.getByRole('button', { name: 'Export' }).click();
  return page.getByRole('dialog', { name: `Export ‘${title}’` });
}

const kind = (page: Page, name: string) =>
  page.getByRole('radio', { name: new RegExp(`^${name} `) }).check();
const field = (page: Page, name: string) => page.getByRole('spinbutton', { name });

/** Presses the button; a file that took long is offered by a remark instead of coming by itself. */
async function download(page: Page, name: string): Promise<Buffer> {
  const coming = page.waitForEvent('download');
  const save = page.getByRole('button', { name: 'Save it' });
  await page.addLocatorHandler(save, () => save.click());
  await page.getByRole('button', { name: 'Write the file' }).click();
  const told = page.locator('.remark').filter({ hasText: `‘${name}’` });
  await expect(told).toContainText(/is (written|ready)/);
  const file = await coming;
  await page.removeLocatorHandler(save);
  expect(file.suggestedFilename()).toBe(name);
  return fs.readFileSync(await file.path());
}

async function expectNoViolation(page: Page, where: string): Promise<void> {
  expect.soft(await violationsInBoth(page), where).toEqual([]);
}

test('charts dropped anywhere on the window come in, once each; what is none is told', async ({
  trainer: page,
  host,
}) => {
  const drop = async (place: string, files: Readonly<Record<string, string>>): Promise<void> => {
    const data = await page.evaluateHandle((all) => {
      const transfer = new DataTransfer();
      for (const [name, text] of Object.entries(all)) transfer.items.add(new File([text], name));
      return transfer;
    }, files);
    await page.locator(place).dispatchEvent('drop', { dataTransfer: data });
  };
  const titles = async (): Promise<readonly string[]> => {
    const answer = await host.services.handle('charts.list', {});
    const { charts } = (answer as { value: { charts: { title: string }[] } }).value;
    return charts.map(({ title }) => title).sort();
  };
  const before = await titles();
  const other = CHART.replace('Two Bars', 'Two More Bars');
  await page.goto(`${host.address}#/history`);
  await expect(page.getByRole('heading', { name: 'History', level: 1 })).toBeVisible();
  await drop('main', { 'one.txt': CHART, 'other.txt': other });
  await expect.poll(titles).toEqual([...before, 'Two Bars', 'Two More Bars'].sort());
  await expect(page).toHaveTitle('Charts · Rungwise');

  await drop('main h1', { 'third.txt': CHART.replace('Two Bars', 'Third Time') });
  await expect.poll(titles).toContain('Third Time');
  await drop('main h1', { 'letter.txt': 'Dear all,\nsee you on Friday.' });
  await expect(page.getByText(/letter\.txt/).first()).toBeVisible();
  expect(await titles()).toEqual([...before, 'Two Bars', 'Two More Bars', 'Third Time'].sort());
});

test('a chart file and a score', async ({ page, host }) => {
  await openExport(page, host);
  const chart = await download(page, 'Two Bars.rungchart');
  expect(chart.toString()).toMatch(/^title: Two Bars$/m);

  await askExport(page);
  await kind(page, 'Score');
  const score = await download(page, 'Two Bars.musicxml');
  const read = io.parse(score.toString());
  expect(read.metadata?.workTitle).toBe('Two Bars');
  expect(read.parts.map((part) => part.measures.length)).toEqual([2, 2]);
  expect(io.getHarmonies(read).map(({ harmony }) => harmony.root.rootStep)).toEqual(['G', 'D']);

  await askExport(page);
  await kind(page, 'Compressed score');
  const packed = await download(page, 'Two Bars.mxl');
  const unpacked = io.parseCompressed(packed);
  expect(unpacked.metadata?.workTitle).toBe('Two Bars');
  expect(unpacked.parts.map((part) => part.measures.length)).toEqual([2, 2]);
});

test('a MIDI file with click, guitar and a bent lead line', async ({ page, host }) => {
  await openExport(page, host);
  await kind(page, 'MIDI file');
  await field(page, 'Start').fill('100');
  await field(page, 'Target').fill('120');
  await field(page, 'Step').fill('20');
  await field(page, 'Passes on each rung').fill('1');
  await field(page, 'Rest bars after each').fill('1');
  // Per pass one bar in, two of the unit and one at rest: 16 beats at 100, then at 120 bpm.
  const seconds = 16 * (60 / 100) + 16 * (60 / 120);
  await expect(page.getByText('2 passes on 2 rungs: 18 s.')).toBeVisible();
  const bytes = await download(page, 'Two Bars - Riff.mid');
  expect(bytes.subarray(0, 4).toString()).toBe('MThd');
  const { tracks } = parseMidi(bytes);
  const tempos = tracks[0]!.filter((event) => event.type === 'setTempo');
  expect(tempos.map((event) => event.microsecondsPerBeat)).toEqual([600_000, 500_000]);
  const names = tracks.flatMap((events) => events.filter((event) => event.type === 'trackName'));
  expect(names.map(({ text }) => text)).toEqual([
    'Two Bars - Riff',
    'Click',
    'Guitar',
    'Hook: Guitar 1',
  ]);
  const midi = new tonejsMidi.Midi(bytes);
  expect(midi.duration).toBeLessThanOrEqual(seconds + 0.01);
  expect(midi.tracks.flatMap((track) => track.pitchBends).length).toBeGreaterThan(20);
});

test('a practice track as sound, as long as the estimate says', async ({ page, host }) => {
  await openExport(page, host);
  await kind(page, 'Practice track');
  await field(page, 'Start').fill('110');
  await field(page, 'Target').fill('120');
  await field(page, 'Step').fill('10');
  await field(page, 'Passes on each rung').fill('2');
  await field(page, 'Rest bars after each').fill('1');
  const seconds = 2 * 16 * (60 / 110 + 60 / 120);
  await expect(page.getByText('4 passes on 2 rungs: 33 s, 3.0 MB.')).toBeVisible();
  const bytes = await download(page, 'Two Bars - Riff.wav');
  expect(bytes.subarray(0, 4).toString()).toBe('RIFF');
  const wav = new wavefile.WaveFile(bytes);
  expect(wav.fmt).toMatchObject({ audioFormat: 1, numChannels: 1, sampleRate: 44_100 });
  const samples = wav.getSamples(false, Int16Array as never) as unknown as Int16Array;
  expect(samples.length).toBe(Math.round(seconds * 44_100));
  expect(samples.some((x) => Math.abs(x) > 3000)).toBe(true);
});

test('a track is refused when it is too long, and its writing can be cancelled', async ({
  page,
  host,
}) => {
  // The work goes on for as long as it takes to look at it and to cancel: its last word is kept back.
  await page.addInitScript(() => {
    const Native = Worker;
    globalThis.Worker = class extends Native {
      override set onmessage(hear: Worker['onmessage']) {
        super.onmessage = (event: MessageEvent<{ kind: string }>) =>
          event.data.kind !== 'answer' && hear?.call(this, event);
      }
    };
  });
  const dialog = await openExport(page, host, 'Low Tide Lanterns');
  await kind(page, 'Practice track');
  await dialog.getByText('Part: Intro').click();
  await dialog.getByRole('tab', { name: 'Whole song' }).click();
  await expect(dialog.getByText('Part: The whole song')).toBeVisible();
  await field(page, 'Passes on each rung').fill('50');
  await expect(dialog.getByText(/would last [\d.]+ hours; three hours are the most/)).toBeVisible();
  await expect(dialog.getByRole('button', { name: 'Write the file' })).toBeDisabled();
  await field(page, 'Start').fill('500');
  await expect(dialog.getByText('Start: write a number from 20 to 400.')).toBeVisible();
  await field(page, 'Start').fill('54');
  await field(page, 'Target').fill('54');
  await field(page, 'Passes on each rung').fill('2');

  let downloads = 0;
  page.on('download', () => downloads++);
  await dialog.getByRole('button', { name: 'Write the file' }).click();
  const progress = dialog.getByRole('progressbar');
  await expect.poll(() => progress.getAttribute('value').then(Number)).toBeGreaterThan(0);
  await expect(dialog.getByRole('group', { name: /is being written/ })).toBeFocused();
  await expectNoViolation(page, 'writing');
  await dialog.getByRole('button', { name: 'Cancel', exact: true }).click();
  await expect(dialog.getByText('Cancelled. No file was written.')).toBeFocused();
  await expect(dialog.getByRole('button', { name: 'Write the file' })).toBeEnabled();
  expect(downloads).toBe(0);
});

test('a file that was long in the making waits for a press', async ({ page, host }) => {
  // Five seconds after the last press Chromium no longer counts the page as in use; here it never does.
  await page.addInitScript(() =>
    Object.defineProperty(Navigator.prototype, 'userActivation', {
      get: () => ({ isActive: false }),
    }),
  );
  await openExport(page, host);
  await page.getByRole('button', { name: 'Write the file' }).click();
  await expect(page.getByText('‘Two Bars.rungchart’ is ready.')).toBeVisible();
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save it' }).click();
  expect((await coming).suggestedFilename()).toBe('Two Bars.rungchart');
});

test('work that breaks off is told, and no file comes', async ({ page, host }) => {
  await page.route('**/file-worker*', (route) => route.abort());
  const dialog = await openExport(page, host);
  await kind(page, 'Score');
  await dialog.getByRole('button', { name: 'Write the file' }).click();
  await expect(dialog.getByText(/The work on the file broke off/)).toBeVisible();
});

/** One bar as another program might write it: a chord, a jump that a chart cannot follow, a rest. */
const SCORE = `<?xml version="1.0"?>
<score-partwise version="4.0"><work><work-title>Found Score</work-title></work>
<part-list><score-part id="P1"><part-name>G</part-name></score-part></part-list><part id="P1"><measure number="1">
<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes><sound tempo="90" dalsegno="a"/>
<harmony><root><root-step>E</root-step></root><kind>minor</kind></harmony><note><rest/><duration>4</duration></note>
</measure></part></score-partwise>`;

test.describe('scores brought in', () => {
  const rows = (page: Page) => page.getByRole('link', { name: /Found Score/ });
  const choose = (page: Page, name: string, content: string | Buffer) =>
    page
      .locator('input[type=file]')
      .first()
      .setInputFiles({ name, mimeType: 'text/xml', buffer: Buffer.from(content) });

  test('what cannot be taken is shown first, and only then is it kept', async ({
    trainer: page,
  }) => {
    await choose(page, 'found.musicxml', SCORE);
    const asked = page.getByRole('dialog', { name: 'Bring in ‘Found Score’?' });
    await expect(asked).toContainText('1 section with 1 bar');
    await expect(asked).toContainText('Bar 1 says D.S., but there is no segno to go back to');
    await expectNoViolation(page, 'bring in');
    await asked.getByRole('button', { name: 'Leave it out' }).click();
    await expect(asked).toBeHidden();
    await expect(rows(page)).toHaveCount(0);

    await choose(page, 'found.musicxml', SCORE);
    await asked.getByRole('button', { name: 'Bring it in' }).click();
    await expect(rows(page)).toHaveCount(1);
  });

  test('a score dropped on the room is opened like one that was chosen', async ({
    trainer: page,
  }) => {
    const data = await page.evaluateHandle((content) => {
      const transfer = new DataTransfer();
      transfer.items.add(new File([content], 'dropped.musicxml'));
      return transfer;
    }, SCORE);
    await page
      .getByRole('heading', { name: 'Charts' })
      .dispatchEvent('drop', { dataTransfer: data });
    await expect(page.getByRole('dialog', { name: 'Bring in ‘Found Score’?' })).toBeVisible();
  });

  test('one without losses comes in at once, in UTF-16 too', async ({ trainer: page }) => {
    const whole = SCORE.replace(' dalsegno="a"', '');
    await choose(page, 'found.xml', Buffer.from(`\uFEFF${whole}`, 'utf16le'));
    await expect(page.getByText('‘Found Score’ was brought in.')).toBeVisible();
    await expect(rows(page)).toHaveCount(1);
  });

  test('a compressed one', async ({ trainer: page }) => {
    const container = '<container><rootfiles><rootfile full-path="a.xml"/></rootfiles></container>';
    const packed = zipSync({
      'META-INF/container.xml': strToU8(container),
      'a.xml': strToU8(SCORE.replace(' dalsegno="a"', '')),
    });
    await choose(page, 'found.mxl', Buffer.from(packed));
    await expect(page.getByText('‘Found Score’ was brought in.')).toBeVisible();
    await expect(rows(page)).toHaveCount(1);
  });

  const REFUSED: readonly (readonly [string, string, RegExp])[] = [
    ['cut.musicxml', SCORE.slice(0, 300), /‘cut.musicxml’: the file is not whole XML/],
    [
      'entity.xml',
      SCORE.replace('?>', '?><!DOCTYPE score-partwise [<!ENTITY a SYSTEM "file:///etc/hosts">]>'),
      /‘entity.xml’: the file defines entities/,
    ],
    ['page.xml', '<html/>', /‘page.xml’: the file is XML, but “html” is not a MusicXML score/],
    ['packed.mxl', 'PK\u0003\u0004', /‘packed.mxl’: the compressed file is damaged: it breaks off/],
    [
      'newer.json',
      '{"format":"rungwise-chart","schemaVersion":99}',
      /‘newer.json’: this chart file has version 99; this program reads up to/,
    ],
  ];
  test('what is none is refused, with the charts as they were', async ({ trainer: page }, info) => {
    const charts = page.getByRole('group', { name: /^Actions for/ });
    const told = page.locator('.remark.problem');
    await expect(charts).toHaveCount(6);
    for (const [name, content, message] of REFUSED) {
      await test.step(name, async () => {
        await choose(page, name, content);
        await expect(told.filter({ hasText: message })).toBeVisible();
        await expect(charts).toHaveCount(6);
      });
    }
    await test.step('huge.musicxml', async () => {
      const huge = info.outputPath('huge.musicxml');
      fs.writeFileSync(huge, '');
      fs.truncateSync(huge, 20_000_001);
      await page.locator('input[type=file]').first().setInputFiles(huge);
      await expect(told.filter({ hasText: '‘huge.musicxml’ is larger than 20 MB' })).toBeVisible();
      await expect(charts).toHaveCount(6);
    });
  });
});

test('no violation in any form of the export', async ({ page, host }) => {
  await openExport(page, host);
  for (const name of ['Chart file', 'Score', 'Compressed score', 'MIDI file', 'Practice track']) {
    await kind(page, name);
    await expectNoViolation(page, name);
  }
  await page.getByText('Levels', { exact: true }).click();
  await expectNoViolation(page, 'levels');
});

test('a practice track with drums and bass is another file than without, as long and under the ceiling', async ({
  page,
  host,
}) => {
  const sound = async (band: boolean) => {
    await openExport(page, host);
    await kind(page, 'Practice track');
    await field(page, 'Start').fill('120');
    await field(page, 'Target').fill('120');
    await field(page, 'Passes on each rung').fill('1');
    await page.getByRole('switch', { name: 'Drums and bass' }).setChecked(band);
    const wav = new wavefile.WaveFile(await download(page, 'Two Bars - Riff.wav'));
    return wav.getSamples(false, Int16Array as never) as unknown as Int16Array;
  };
  const [alone, together] = [await sound(false), await sound(true)];
  expect(together.length).toBe(alone.length);
  const energy = (samples: Int16Array) => samples.reduce((sum, x) => sum + x * x, 0);
  expect(energy(together)).toBeGreaterThan(1.1 * energy(alone));
  const peak = (samples: Int16Array) => samples.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
  expect(peak(together)).toBeLessThanOrEqual(Math.ceil(0.5 * 32_767));
});

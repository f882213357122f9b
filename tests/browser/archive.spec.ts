// Everything saved into one file in Sound & care, and brought back on a new computer; single charts from their versions.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { unwrap } from '../../app/core/base/result.ts';
import type { Chart } from '../../app/core/model/chart.ts';
import type { Envelope } from '../../app/services/contract/contract.ts';
import { passEntry, sampleChart } from '../unit/services/samples.ts';
import { testNow } from '../support/test-time.ts';
import { violationsOn } from './accessible.ts';
import { atTestTime, expect, startHost, test, type TestHost } from './host.ts';

const ask = async <T>(host: TestHost, name: string, input: unknown): Promise<T> => {
  const envelope = (await host.services.handle(name, input)) as Envelope<T>;
  if (!envelope.ok) throw new Error(envelope.problems[0]?.message);
  return envelope.value;
};

test('all my data goes out in one file, comes back on a new computer, and is undone', async ({
  page,
  host,
  browser,
}) => {
  test.slow();
  await ask(host, 'charts.save', { chart: sampleChart('k-1', { title: 'Harbour Lights' }) });
  await ask(host, 'log.append', { entries: [passEntry('a'), passEntry('b')] });
  await ask(host, 'settings.write', { patch: { leftHanded: true } });
  await page.goto(`${host.address}#/care`);
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save everything' }).click();
  const file = await coming;
  expect(file.suggestedFilename()).toMatch(/^Rungwise \d{4}-\d\d-\d\d\.zip$/);
  await expect(page.locator('.remark')).toContainText('Everything is in');
  const archive = {
    name: file.suggestedFilename(),
    mimeType: 'application/zip',
    buffer: fs.readFileSync(await file.path()),
  };

  const fresh = await startHost();
  try {
    const other = await browser.newPage();
    await atTestTime(other.context());
    await other.goto(`${fresh.address}#/care`);
    await other.getByLabel('Bring back from a file …').setInputFiles(archive);
    const dialog = other.getByRole('dialog', { name: 'Bring back from a file' });
    await expect(dialog).toContainText('1 of 1 chart that is not here like this');
    await expect(dialog).toContainText('2 passes of 1 day');
    await dialog.getByText('Choose single charts').click();
    await dialog.getByText('Choose single days').click();
    expect.soft(await violationsOn(other), 'the dialog').toEqual([]);
    await dialog.getByRole('button', { name: 'Bring it in' }).click();
    await expect(dialog).toContainText('Brought back: 1 chart, 2 passes');
    await dialog.getByRole('button', { name: 'Close' }).click();
    expect((await ask<{ passes: unknown[] }>(fresh, 'log.passes', {})).passes).toHaveLength(2);
    const undo = other.getByRole('button', { name: 'Undo this' });
    await expect(undo).toBeVisible();
    await expect(other.getByRole('switch', { name: 'Left-handed' })).toBeChecked();
    await undo.click();
    await expect(undo).toBeHidden();
    await expect(other.getByRole('switch', { name: 'Left-handed' })).not.toBeChecked();
    await expect
      .poll(async () => (await ask<{ passes: unknown[] }>(fresh, 'log.passes', {})).passes)
      .toEqual([]);
  } finally {
    await fresh.close();
  }
});

test('a file that is no archive is refused in words', async ({ page, host }) => {
  await page.goto(`${host.address}#/care`);
  await page.getByLabel('Bring back from a file …').setInputFiles({
    name: 'holiday.zip',
    mimeType: 'application/zip',
    buffer: Buffer.from('not a zip file'),
  });
  await expect(page.locator('.remark')).toContainText('is not an archive of Rungwise');
});

test('an earlier version of a chart comes back from its row', async ({ trainer: page, host }) => {
  const chart = sampleChart('k-1', { title: 'Harbour Lights' });
  await ask(host, 'charts.save', { chart });
  await ask(host, 'charts.save', { chart: { ...chart, capo: 5 } });
  await page.reload();
  const actions = page.getByRole('group', { name: 'Actions for Harbour Lights' });
  await actions.getByRole('button', { name: 'Versions' }).click();
  const dialog = page.getByRole('dialog', { name: /Earlier versions/ });
  await dialog.getByRole('button', { name: 'Look' }).click();
  await expect(dialog.locator('pre')).toContainText('title: Harbour Lights');
  expect.soft(await violationsOn(page), 'the versions').toEqual([]);
  await dialog.getByRole('button', { name: 'Bring back' }).click();
  await expect(dialog).toBeHidden();
  const capo = async () =>
    unwrap(await ask<{ ok: true; value: Chart }>(host, 'charts.open', { id: 'k-1' })).capo;
  await expect.poll(capo).toBe(0);
});

test('a chart whose file is gone comes back from the copies', async ({ page, host }) => {
  const chart = sampleChart('k-1', { title: 'Harbour Lights' });
  await ask(host, 'charts.save', { chart });
  await ask(host, 'charts.save', { chart: { ...chart, capo: 5 } });
  fs.rmSync(`${host.directory}/charts/Harbour Lights.chart.txt`);
  await page.goto(`${host.address}#/care`);
  await page.getByRole('button', { name: 'Look into the copies' }).click();
  const dialog = page.getByRole('dialog', { name: 'Back from the copies' });
  await expect(dialog).toContainText('your log has every pass');
  await dialog.getByRole('button', { name: 'Bring back' }).click();
  await expect(dialog).toContainText('every chart in the copies is here');
  expect.soft(await violationsOn(page), 'the copies').toEqual([]);
  await dialog.getByRole('button', { name: 'Close' }).click();
  await page.getByRole('button', { name: 'What went wrong' }).click();
  await expect(page.getByRole('dialog', { name: 'What went wrong' })).toContainText(
    'Nothing so far.',
  );
});

test('a day that the log lost comes back from its copies', async ({ page, host }) => {
  await ask(host, 'log.append', { entries: [passEntry('a'), passEntry('b')] });
  const log = host.services.log()!;
  await log.backUp(testNow());
  log.database.exec(`delete from passes where id = 'a'; delete from tallies`);
  await page.goto(`${host.address}#/care`);
  await page.getByRole('button', { name: 'Look into the copies' }).click();
  const dialog = page.getByRole('dialog', { name: 'Back from the copies' });
  await expect(dialog).toContainText('1 pass');
  await dialog.getByRole('button', { name: 'Bring back' }).click();
  await expect(dialog).toContainText('your log has every pass that stands in its copies');
  expect.soft(await violationsOn(page), 'the copies').toEqual([]);
  await dialog.getByRole('button', { name: 'Close' }).click();
  const { passes } = await ask<{ passes: { id: string }[] }>(host, 'log.passes', {});
  expect(passes.map(({ id }) => id).toSorted()).toEqual(['a', 'b']);
});

test('settings that somebody changed are told, and come back from their copy', async ({ page }) => {
  const directory = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-data-'));
  const settings = path.join(directory, 'settings.json');
  const first = await startHost({ directory });
  await ask(first, 'settings.write', { patch: { leftHanded: true } });
  await first.close();
  // The small files are copied when they are opened.
  await (await startHost({ directory })).close();
  fs.writeFileSync(settings, fs.readFileSync(settings, 'utf8').replace('true', 'false'));
  const host = await startHost({ directory });
  try {
    await page.goto(`${host.address}#/care`);
    const standing = page.getByRole('region', { name: 'Standing problems' });
    await expect(standing).toContainText('The file of the settings is not as Rungwise wrote it');
    await page.getByRole('button', { name: 'Look into the copies' }).click();
    const dialog = page.getByRole('dialog', { name: 'Back from the copies' });
    await expect(dialog).toContainText('Settings: as they stood');
    expect.soft(await violationsOn(page), 'the copies').toEqual([]);
    await dialog.getByRole('button', { name: 'Bring back' }).click();
    await dialog.getByRole('button', { name: 'Close' }).click();
    await expect(page.getByRole('switch', { name: 'Left-handed' })).toBeChecked();
  } finally {
    await host.close();
    fs.rmSync(directory, { recursive: true, force: true });
  }
});

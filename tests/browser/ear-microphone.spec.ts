// Chromium's fake microphone plays a WAV into the trainer: the same take by microphone and by file.
import fs from 'node:fs';
import path from 'node:path';
import type { Page } from '@playwright/test';
import { expectAccessible } from './accessible.ts';
import { BPM, chart, guitarWav, LATE_MS, unitOf } from './ear/guitar-wav.ts';
import { openEar } from './ear/open-ear.ts';
import { TAKE } from './ear/take-file.ts';
import { FRAME_MS, fewFrames } from '../support/few-frames.ts';
import { expect, test } from './host.ts';
import { handle } from './view/short-climb.ts';

const played = unitOf('section:Short');
test.describe.configure({ timeout: 300_000 });
test.beforeAll(() => fs.writeFileSync(TAKE, guitarWav(played)));
// The meter and the tape are not looked at closely here.
test.beforeEach(({ page }) => page.addInitScript(fewFrames, FRAME_MS.played));
test.afterAll(() => fs.rmSync(TAKE, { force: true }));

async function choose(page: Page, unit: string, bpm: number): Promise<void> {
  await page.getByRole('combobox', { name: 'Part' }).selectOption({ label: unit });
  await page.getByRole('spinbutton', { name: 'Tempo' }).fill(String(bpm));
}

/** A busy machine loses sound now and then, and the program says so: then it is played again, as a player would. */
async function recordWhole(page: Page): Promise<void> {
  const lost = page.getByText('Some of the sound did not arrive');
  for (let take = 1; take <= 5; take++) {
    await page.getByRole('button', { name: 'Count in and listen' }).click();
    await expect(page.getByText('The microphone is open:')).toBeVisible();
    await expect(page.getByText('Listening. Play after the count-in.')).toBeVisible();
    await expect(page.getByRole('button', { name: 'Save this take' })).toBeVisible({
      timeout: 60_000,
    });
    await expect(page.getByRole('group', { name: 'What the ear heard' })).toBeVisible({
      timeout: 60_000,
    });
    if (!(await lost.isVisible())) return;
  }
  throw new Error('this machine loses sound in every take: it is too busy for this test');
}

interface Heard {
  readonly words: string;
  readonly offset: number | undefined;
}

async function openTake(page: Page, file: string): Promise<readonly Heard[]> {
  await page.locator('input[type=file]').setInputFiles(file);
  const result = page.getByRole('group', { name: 'What the ear heard' });
  await expect(result).toContainText(path.basename(file), { timeout: 60_000 });
  const words = await result.getByRole('listitem').locator('.unseen').allInnerTexts();
  return words.map((all) => {
    const [, offset] = /by (\d+) ms/.exec(all) ?? [];
    return { words: all.replace(/\d+ ms/, 'n ms'), offset: offset ? Number(offset) : undefined };
  });
}

test('a take through the microphone is judged as the same take from its file', async ({
  page,
  host,
}, testInfo) => {
  await handle(host, 'charts.save', { chart });
  await openEar(page, host);
  await page.getByRole('combobox', { name: 'Chart' }).selectOption({ label: chart.title });
  await choose(page, 'Long', BPM);
  await recordWhole(page);
  const save = page.getByRole('button', { name: 'Save this take' });
  const [download] = await Promise.all([page.waitForEvent('download'), save.click()]);
  const heard = testInfo.outputPath('heard.wav');
  await download.saveAs(heard);

  await choose(page, played.name, BPM);
  const fromFile = await openTake(page, TAKE);
  const fromMicrophone = await openTake(page, heard);
  expect(fromMicrophone.map((h) => h.words)).toEqual(fromFile.map((h) => h.words));
  expect(fromFile[0]?.words).toContain('right and in time');
  expect(fromFile[1]?.words).toContain('late by');
  expect(fromFile[2]?.words).toContain('still');
  for (const [i, { offset }] of fromFile.entries()) {
    if (offset === undefined) continue;
    expect(Math.abs(offset - fromMicrophone[i]!.offset!)).toBeLessThanOrEqual(5);
  }
  expect(Math.abs(fromFile[1]!.offset! - LATE_MS)).toBeLessThan(20);
  await expectAccessible(page);
});

// The player in a live audio context: what came out, sample by sample, under the program's own policy.
import { expect, test, type Page } from '@playwright/test';
import { openAudioPage } from './audio/open-page.ts';
import type * as page from './audio/page.ts';

declare const playLaps: typeof page.playLaps;
declare const playAndCancel: typeof page.playAndCancel;
declare const loudest: typeof page.loudest;
declare const stopAndGoOn: typeof page.stopAndGoOn;
declare const lateAndSuspended: typeof page.lateAndSuspended;
declare const playModel: typeof page.playModel;
declare const LOUD: typeof page.LOUD;

/** −6 dBFS (definition of the decibel). */
const CEILING = 10 ** (-6 / 20);

// One page for all of them.
test.describe.configure({ mode: 'default' });

let audio: Page;
const errors: string[] = [];
test.beforeAll(async ({ browser }) => {
  audio = await openAudioPage(browser, 'page.ts', undefined, (text) => errors.push(text));
});
test.afterAll(() => audio.close());

test('every click of two laps sounds at its very sample', async () => {
  const clicks = await audio.evaluate(() => playLaps(300, 0));
  expect(clicks.expected.length).toBe(64);
  expect(clicks.found).toEqual(clicks.expected);
});

test('a main thread that stands still neither moves nor drops a click', async () => {
  const clicks = await audio.evaluate(() => playLaps(240, 1));
  expect(clicks.found).toEqual(clicks.expected);
});

test('a cancelled half of a lap stays silent, the half before it does not', async () => {
  const clicks = await audio.evaluate(() => playAndCancel());
  const before = clicks.expected.filter((frame) => frame < clicks.cancelledFrom);
  expect(before.length).toBe(16);
  expect(clicks.found).toEqual(before);
});

test('nothing passes the ceiling: 20 dB above full scale, every level open', async () => {
  const peak = await audio.evaluate(() => loudest(10, LOUD));
  expect(peak).toBeGreaterThan(0.45);
  expect(peak).toBeLessThanOrEqual(CEILING);
});

test('a master level of 0 is silence', async () => {
  expect(await audio.evaluate(() => loudest(10, { ...LOUD, master: 0 }))).toBe(0);
});

test('stop silences within its fade, and the next lap is whole', async () => {
  const heard = await audio.evaluate(() => stopAndGoOn());
  const fadeAndQuantum = 0.03 * heard.sampleRate + 128;
  const after = heard.found.filter((frame) => frame > heard.stoppedAt + fadeAndQuantum);
  expect(after).toEqual(heard.expected);
});

test('a lap that comes too late is moved and says by how much; suspension is told and mended', async () => {
  const told = await audio.evaluate(() => lateAndSuspended());
  expect(told.startsAfter).toBeGreaterThan(0);
  expect(told.movedBy).toBeCloseTo(1 + told.startsAfter, 6);
  expect(told.behind).toBeGreaterThanOrEqual(0);
  expect(told.troubles).toEqual(['suspended']);
  expect(told).toMatchObject({ reopened: true, same: true });
});

test('the model guitar sounds as core makes it, after a count-in that clicks', async () => {
  const model = await audio.evaluate(() => playModel());
  expect(model.clicks).toBe(16);
  expect(model.loudest).toBeGreaterThan(0.2);
  expect(model.worst).toBeLessThan(1e-4);
});

test('none of this broke the policy of the page: no Blob worker, no complaint in the console', () => {
  expect(errors).toEqual([]);
});

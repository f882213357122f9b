// The player and the band in a live audio context: what came out, sample by sample, under the program's own policy.
import { expect, test, type Page } from '@playwright/test';
import { BASS_LOW, DRUM_VOICES } from '../../app/core/band/model.ts';
import { samplesOf } from '../support/band-kit.ts';
import { openAudioPage } from './audio/open-page.ts';
import type * as kit from './audio/kit-page.ts';
import type * as page from './audio/page.ts';

declare const playLaps: typeof page.playLaps;
declare const playAndCancel: typeof page.playAndCancel;
declare const loudest: typeof page.loudest;
declare const stopAndGoOn: typeof page.stopAndGoOn;
declare const lateAndSuspended: typeof page.lateAndSuspended;
declare const playModel: typeof page.playModel;
declare const playBand: typeof page.playBand;
declare const renderBandKit: typeof kit.renderBandKit;
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

test('a main thread that stands still neither moves nor drops a stroke of the band', async () => {
  const { expected, found } = await audio.evaluate(() => playBand(200, 1));
  expect(expected.length).toBeGreaterThan(60);
  const astray = expected.filter((at) => !found.some((frame) => Math.abs(frame - at) <= 1));
  expect(astray).toEqual([]);
});

test('Tone renders every drum and every bass note, in tune', async () => {
  const { drums, bass } = await audio.evaluate(() => renderBandKit(48_000));
  for (const voice of DRUM_VOICES) {
    const samples = samplesOf(drums[voice]!);
    const peak = samples.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
    expect(peak, voice).toBeGreaterThan(0.1);
    expect(peak, voice).toBeLessThanOrEqual(1);
    expect(Math.abs(samples.at(-1)!), voice).toBeLessThan(0.001);
  }
  bass.forEach((note, i) => {
    const wanted = 440 * 2 ** ((BASS_LOW + i - 69) / 12);
    expect(Math.abs(centsOff(samplesOf(note), wanted)), `MIDI ${BASS_LOW + i}`).toBeLessThanOrEqual(
      2,
    );
  });
});

test('none of this broke the policy of the page: no Blob worker, no complaint in the console', () => {
  expect(errors).toEqual([]);
});

/** Where near a frequency the Fourier sum over one second is largest, in cents from it (A4 = 440 Hz, ISO 16:1975). */
function centsOff(samples: Float32Array, hertz: number): number {
  const part = samples.subarray(4_800, 4_800 + 48_000);
  const sizes = Array.from({ length: 41 }, (_, k) => {
    const step = (2 * Math.PI * hertz * 2 ** ((2 * k - 40) / 1200)) / 48_000;
    let [re, im] = [0, 0];
    for (let i = 0; i < part.length; i += 8) {
      const window = 0.5 - 0.5 * Math.cos((2 * Math.PI * i) / part.length);
      re += window * part[i]! * Math.cos(step * i);
      im += window * part[i]! * Math.sin(step * i);
    }
    return Math.hypot(re, im);
  });
  return 2 * sizes.indexOf(Math.max(...sizes)) - 40;
}

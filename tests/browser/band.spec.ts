// The band in a live audio context and its sounds as Tone renders them, under the program's own policy.
import { expect, test } from '@playwright/test';
import { BASS_LOW, DRUM_VOICES } from '../../app/core/band/model.ts';
import type * as kitPage from './audio/kit-page.ts';
import { samplesOf } from '../support/band-kit.ts';
import { openAudioPage } from './audio/open-page.ts';
import type * as audioPage from './audio/page.ts';

declare const playBand: typeof audioPage.playBand;
declare const renderBandKit: typeof kitPage.renderBandKit;

test('a main thread that stands still neither moves nor drops a stroke of the band', async ({
  browser,
}) => {
  const page = await openAudioPage(browser, 'page.ts');
  const { expected, found } = await page.evaluate(() => playBand(200, 1));
  await page.close();
  expect(expected.length).toBeGreaterThan(60);
  const astray = expected.filter((at) => !found.some((frame) => Math.abs(frame - at) <= 1));
  expect(astray).toEqual([]);
});

test('Tone renders every drum and every bass note, in tune, without asking for more than the policy allows', async ({
  browser,
}) => {
  const errors: string[] = [];
  const page = await openAudioPage(browser, 'kit-page.ts', undefined, (text) => errors.push(text));
  const { drums, bass } = await page.evaluate(() => renderBandKit(48_000));
  await page.close();
  expect(errors).toEqual([]);
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

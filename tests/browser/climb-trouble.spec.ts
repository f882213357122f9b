// A climb when the machine misbehaves: a blocked main thread, a sound that stops, a window that hides.
import type { Page } from '@playwright/test';
import { GATE_MS } from '../../renderer/input/controls.ts';
import { FRAME_MS, fewFrames } from '../support/few-frames.ts';
import { expect, test } from './host.ts';
import { glimpse, openShortClimb, verdicts } from './view/short-climb.ts';

// What is drawn is not looked at closely here.
test.beforeEach(({ page }) => page.addInitScript(fewFrames, FRAME_MS.played));

interface Watched {
  readonly contexts: AudioContext[];
  /** Start of every sound handed over, and the audio clock when it was, in seconds. */
  readonly sounds: { readonly when: number; readonly now: number }[];
}

/** Notes every audio context and every sound of the page; call it before the page is opened. */
async function watchAudio(page: Page): Promise<void> {
  await page.addInitScript(() => {
    const watched: Watched = { contexts: [], sounds: [] };
    Object.assign(globalThis, { watched });
    const Native = AudioContext;
    globalThis.AudioContext = class extends Native {
      constructor(options?: AudioContextOptions) {
        super(options);
        watched.contexts.push(this);
      }
    };
    const start = AudioBufferSourceNode.prototype.start;
    AudioBufferSourceNode.prototype.start = function (when = 0, ...rest) {
      watched.sounds.push({ when, now: this.context.currentTime });
      start.call(this, when, ...rest);
    };
  });
}

const sounds = (page: Page) =>
  page.evaluate(() => (globalThis as unknown as { watched: Watched }).watched.sounds);

const stage = (page: Page) => page.getByRole('region', { name: 'Stage' });
/** It sounds. */
const sounding = (page: Page) => expect(page.getByRole('button', { name: 'Pause' })).toBeVisible();

test('a main thread blocked for 2 s over the rest bars leaves no silence and moves nothing', async ({
  page,
  host,
}) => {
  await watchAudio(page);
  await openShortClimb(page, host);
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await glimpse(verdicts(page));
  const handedOver = (await sounds(page)).length;
  await page.evaluate(() => {
    const until = performance.now() + 2000;
    while (performance.now() < until);
  });
  await expect(page.getByRole('group', { name: 'How was pass 2?' })).toBeVisible();
  const heard = await sounds(page);
  const whens = [...new Set(heard.map((s) => s.when))].sort((a, b) => a - b);
  const gaps = whens.slice(1).map((when, i) => when - (whens[i] as number));
  // 360 bpm: a beat lasts 1/6 s, and every beat sounds from the first count-in on.
  expect(Math.max(...gaps)).toBeLessThan(1 / 6 + 1e-4);
  const since = heard.slice(handedOver);
  expect(since.length).toBeGreaterThan(0);
  expect(Math.min(...since.map((s) => s.when - s.now))).toBeGreaterThan(0);
});

test('pauses and says so when the sound stops, and goes on from the bar', async ({
  page,
  host,
}) => {
  await watchAudio(page);
  await openShortClimb(page, host);
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await glimpse(stage(page).getByText(/count-in at 360/));
  await page.evaluate(() =>
    (globalThis as unknown as { watched: Watched }).watched.contexts.at(-1)?.suspend(),
  );
  await expect(stage(page).locator('.standing')).toContainText('Paused: the sound stopped.');
  await page.waitForTimeout(2 * GATE_MS);
  await page.keyboard.press('Space');
  await glimpse(stage(page).getByText(/count-in at 360/));
  await expect(verdicts(page)).toBeVisible();
});

test('pauses when the window is hidden', async ({ page, host }) => {
  await openShortClimb(page, host);
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await sounding(page);
  await page.evaluate(() => {
    Object.defineProperty(document, 'visibilityState', { value: 'hidden', configurable: true });
    document.dispatchEvent(new Event('visibilitychange'));
  });
  await expect(stage(page).locator('.standing')).toHaveText('Paused: the window was hidden.');
});

test('pauses when the computer goes to sleep', async ({ page, host }) => {
  await openShortClimb(page, host);
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await sounding(page);
  // The page may not listen to the machine yet.
  await expect(async () => {
    host.services.emit('power', { state: 'suspend' });
    await expect(stage(page).locator('.standing')).toContainText('went to sleep', { timeout: 500 });
  }).toPass();
});

// No microphone, a refused one, one that cannot be read or goes away: each is told in words, and the climb goes on.
import { chromium, type Page } from '@playwright/test';
import { launchOptions } from './chromium.ts';
import { openClimbByEar } from './ear/climb-by-ear.ts';
import { openEar } from './ear/open-ear.ts';
import { muteLoopback, plugLoopback, unplugLoopback } from './ear/loopback.ts';
import { expect, makeSteady, test } from './host.ts';
import { judgeNext, logged, verdicts } from './view/short-climb.ts';

const stageOf = (page: Page) => page.getByRole('region', { name: 'Stage' });

test('without a microphone it says so, and the climb goes on by the player’s own verdicts', async ({
  host,
}) => {
  const browser = await chromium.launch(launchOptions());
  const page = await browser.newPage();
  await makeSteady(page);
  await openEar(page, host);
  await page.getByRole('button', { name: 'Listen', exact: true }).click();
  await expect(page.getByRole('alert')).toContainText('No microphone was found. Connect one');
  await expect(page.getByText('The microphone is closed.')).toBeVisible();

  await openClimbByEar(page, host, { target: 150 });
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await expect(page.getByText('No microphone was found.')).toBeVisible();
  await judgeNext(page, 1, 'ArrowUp');
  await expect(stageOf(page).getByRole('heading', { level: 2 })).toContainText('flag is planted');
  await expect
    .poll(async () => (await logged(host)).map((p) => [p.verdict, p.source]))
    .toEqual([['clean', 'self']]);
  await browser.close();
});

test('a microphone that is switched off in a pass, or goes away, is told; its silence is nobody’s miss, and the climb goes on', async ({
  page,
  host,
}) => {
  await plugLoopback(page);
  await openClimbByEar(page, host, { restBars: 4 });
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await expect(stageOf(page).getByText('Bar 1 of')).toBeVisible();
  await muteLoopback(page, true);
  const told = page.getByText(/is switched off: it gives no sound/);
  await expect(told).toBeVisible();
  // In the rest bars sound comes again, and the ear knows what it lacks.
  await expect(verdicts(page, 1)).toBeVisible();
  await muteLoopback(page, false);
  await expect(told).toBeHidden();
  await judgeNext(page, 1, 'ArrowUp');

  await expect(stageOf(page).getByText('Bar 1 of')).toBeVisible();
  await unplugLoopback(page);
  await expect(
    page.getByText(/went away. The climb goes on: judge the passes yourself/),
  ).toBeVisible();
  await expect(stageOf(page).getByText('listening')).toBeHidden();
  await judgeNext(page, 2, 'ArrowUp');
  await expect(stageOf(page).getByRole('heading', { level: 2 })).toContainText('flag is planted');
  await expect
    .poll(async () => (await logged(host)).map((p) => [p.verdict, p.source, p.earVerdict]))
    .toEqual([
      ['clean', 'self', undefined],
      ['clean', 'self', undefined],
    ]);
});

test('a microphone that is refused is told in words', async ({ host }) => {
  // Only a browser with windows asks before it opens a microphone.
  const { args, ...rest } = launchOptions({ entire: true, fakeMicrophone: true });
  const asking = args!.filter((arg) => arg !== '--use-fake-ui-for-media-stream');
  const browser = await chromium.launch({
    ...rest,
    args: [...asking, '--deny-permission-prompts'],
  });
  const page = await browser.newPage();
  await openEar(page, host);
  await page.getByRole('button', { name: 'Listen', exact: true }).click();
  await expect(page.getByRole('alert')).toContainText('The microphone may not be used. Allow it');
  await expect(page.getByText('The microphone is closed.')).toBeVisible();
  await browser.close();
});

test('a microphone whose sound cannot be read is told in words, let go, and can be tried again', async ({
  page,
  host,
}) => {
  await page.addInitScript(() => {
    const real = AudioWorklet.prototype.addModule;
    let tried = 0;
    AudioWorklet.prototype.addModule = function (...all) {
      tried += 1;
      if (tried > 1) return real.apply(this, all);
      return Promise.reject(new DOMException('not loaded', 'AbortError'));
    };
  });
  await openEar(page, host);
  const listen = page.getByRole('button', { name: 'Listen', exact: true });
  await listen.click();
  await expect(page.getByRole('alert')).toContainText('its sound cannot be read here. Start');
  await expect(page.getByText('The microphone is closed.')).toBeVisible();
  await listen.click();
  await expect(page.getByText('The microphone is open:')).toBeVisible();
  await expect(page.getByRole('alert')).toHaveCount(0);
});

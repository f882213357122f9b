// The ear in the trainer, in Chromium: a cable from output to input, a climb judged by ear alone.
import type { Page } from '@playwright/test';
import type { SettingsRead } from '../../app/services/contract/contract.ts';
import { usualSettings } from '../../app/services/contract/settings.ts';
import { expectAccessible } from './accessible.ts';
import { openClimbByEar } from './ear/climb-by-ear.ts';
import { CABLE_MS, openMicrophones, plugLoopback, setLoopbackLevel } from './ear/loopback.ts';
import { openEar } from './ear/open-ear.ts';
import { hearWell, mishear } from './ear/mishear.ts';
import { FRAME_MS, fewFrames } from '../support/few-frames.ts';
import { expect, test } from './host.ts';
import { glimpse, handle, logged, verdicts } from './view/short-climb.ts';

// A stumbling output may cost a pass or two before one is judged.
test.describe.configure({ timeout: 120_000 });

// How the stage moves is not looked at here.
test.beforeEach(({ page }) => page.addInitScript(fewFrames, FRAME_MS.played));

const stageOf = (page: Page) => page.getByRole('region', { name: 'Stage' });

// The longest comes first, so that nothing waits for it in the end.
test('by the ear alone a miss is answered: where it broke is offered, drilled, and the climb goes on', async ({
  page,
  host,
}) => {
  test.setTimeout(300_000);
  await plugLoopback(page);
  await mishear(page);
  await openClimbByEar(page, host, { start: 300, target: 320, missedToDrop: 10 });
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  const stage = stageOf(page);
  // A pass in which the output stumbled is nobody's; the next one is asked about.
  await expect(stage.getByRole('heading', { name: /^Missed/ })).toBeVisible({ timeout: 60_000 });
  const places = stage.getByRole('list', { name: 'Places where it may have broken' });
  await expect(places.getByRole('button', { pressed: true })).toContainText('→');
  await expect(stage.locator('.answer')).toContainText('A rung slower');
  // Nothing is pressed from here on: slower; when it breaks again, off to the drill, and back by itself.
  await expect(stage.locator('.answer')).toContainText('and back', { timeout: 60_000 });
  const title = stage.getByRole('heading', { level: 1 });
  await expect(title).toHaveText(/ and |into/, { timeout: 30_000 });
  await expect(stage.getByText('listening')).toBeVisible();
  // Right four times in a row, the drill is over before its time.
  await hearWell(page);
  await expect(title).toHaveText('Chorus, bars 1–2', { timeout: 90_000 });
  await glimpse(stage.getByText(/count-in at \d+/));
  await page.keyboard.press('Escape');
  await expect.poll(() => openMicrophones(page)).toBe(0);
  await expect(async () => {
    const passes = await logged(host);
    // What was judged at all in the climb itself was judged by the ear.
    const judged = passes.filter(({ verdict, within }) => verdict !== 'unjudged' && !within);
    expect(judged.length).toBeGreaterThan(0);
    expect(judged.every(({ verdict, source }) => verdict === 'missed' && source === 'ear')).toBe(
      true,
    );
    const drilled = passes.filter(({ within }) => within === 'drill');
    expect(drilled.length).toBeGreaterThan(2);
    expect(drilled.some(({ source, verdict }) => source === 'ear' && verdict === 'clean')).toBe(
      true,
    );
  }).toPass();
});

test('the delay is measured by the program’s own sound, shown with its spread, and kept', async ({
  page,
  host,
}) => {
  await plugLoopback(page);
  await openEar(page, host);
  const measured = page.getByText(/\d ms from 4 of 4 repeats, which lie [\d.]+ ms apart/);
  // A busy machine's repeats may lie too far apart, and the program says so: then it is measured again, as a player would.
  await expect(async () => {
    await page.getByRole('button', { name: 'Measure the delay' }).click();
    await expect(page.getByText('Noise is sounding; keep still.')).toBeVisible();
    await expect(measured).toBeVisible();
  }).toPass();
  const kept = async () =>
    ((await handle(host, 'settings.read', {})) as SettingsRead).settings.latencies[0]?.milliseconds;
  await expect.poll(kept).toBeDefined();
  // The browser's stream adds to the cable; how much is its own affair.
  expect(await kept()).toBeGreaterThan(CABLE_MS);
  expect(await kept()).toBeLessThan(CABLE_MS + 150);
  await page.getByRole('button', { name: 'Stop listening' }).click();
  await expect.poll(() => openMicrophones(page)).toBe(0);
});

test('a climb is driven by the ear alone, shows every change, and lets the microphone go', async ({
  page,
  host,
}) => {
  await plugLoopback(page);
  // What is heard stands there for the rest bars: four leave time to look.
  await openClimbByEar(page, host, { restBars: 4 });
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  const stage = stageOf(page);
  await expect(stage.getByText('listening')).toBeVisible();
  await expect.poll(() => openMicrophones(page)).toBe(1);

  await glimpse(stage.getByText(/Clean by ear: \d of \d changes right/));
  await expect(stage.getByText(/Bar 1: .*Bm: right and in time/)).toBeAttached();
  await expect(stage.getByText('against your own middle')).toBeVisible();
  await expectAccessible(page);

  await expect(stage.getByRole('heading', { level: 2 })).toContainText('flag is planted', {
    timeout: 40_000,
  });
  await expect.poll(() => openMicrophones(page)).toBe(0);
  // A pass in which a busy machine's output stumbled, or lost sound on its way to the ear, is nobody's: it is not judged.
  const judged = async () => (await logged(host)).filter(({ verdict }) => verdict !== 'unjudged');
  await expect
    .poll(async () => (await judged()).map((p) => [p.rung.bpm, p.verdict, p.source]))
    .toEqual([
      [150, 'clean', 'ear'],
      [160, 'clean', 'ear'],
    ]);
  const passes = await judged();
  // Sound that a busy machine lost on its way to the ear leaves a change untold, never told wrong.
  const told = passes.flatMap(({ changes = [] }) => changes.filter((c) => c.chord !== 'unsure'));
  expect(told.length).toBeGreaterThanOrEqual(4);
  expect(told.filter((c) => c.chord !== 'right' || c.timing !== 'on-time')).toEqual([]);
});

test('a guitar that comes in too loud, then too soft, is judged, and the player told what to do', async ({
  page,
  host,
}) => {
  await plugLoopback(page, 60);
  await openClimbByEar(page, host, { restBars: 4, target: 170 });
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  const stage = stageOf(page);
  const clean = stage.getByText(/Clean by ear: \d of \d changes right/);
  await glimpse(clean);
  await expect(stage.getByText('Turn the microphone’s level down until the meter')).toBeVisible();
  await setLoopbackLevel(page, 0.02);
  await expect(stage.getByText('Bar 1 of')).toBeVisible();
  await glimpse(clean);
  await expect(stage.getByText('Move the microphone nearer, or turn its level up.')).toBeVisible();
});

test('what spoilt the listening is told where it asks where the pass broke, too', async ({
  page,
  host,
}) => {
  await plugLoopback(page, 60);
  await mishear(page);
  await openClimbByEar(page, host, { restBars: 4 });
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  const wrong = page.getByRole('button', { name: 'Bar 1, G: that was wrong, I played it' });
  await glimpse(wrong);
  await expect(page.getByText('The recording is too loud and was cut off.')).toBeVisible();
  await expect
    .poll(async () => {
      // On a slow machine the question may be over meanwhile; the next pass is asked about.
      if (await wrong.isVisible()) await page.keyboard.press('w');
      return (await logged(host)).map((p) => [p.verdict, p.source, p.earVerdict, p.played]);
    })
    .toContainEqual(['clean', 'self', 'missed', [1]]);
});

test('nothing on the stage moves when the ear is switched on', async ({ page, host }) => {
  await page.setViewportSize({ width: 1024, height: 700 });
  await plugLoopback(page);
  const stage = stageOf(page);
  const places = async (): Promise<unknown[]> => {
    await page.getByRole('button', { name: 'Climb', exact: true }).click();
    await expect(stage.getByText('now', { exact: true })).toBeVisible();
    const parts = [
      'header',
      '.stage > .ladder',
      '.stage > .now',
      '.stage > .next',
      '.stage > .bars',
    ];
    const boxes = await Promise.all(parts.map((part) => page.locator(part).boundingBox()));
    await expect(verdicts(page, 1)).toBeVisible();
    const prompt = await verdicts(page, 1).boundingBox();
    await page.keyboard.press('Escape');
    await page.getByRole('button', { name: 'Back to the set-up' }).click();
    return [...boxes, prompt];
  };
  // Where nothing sounds the ear has no verdict, so the question stays. The tour comes with the first climb alone.
  const silent = {
    ear: { ...usualSettings.ear, on: false },
    masterLevel: 0,
    shown: ['care-before-first-sound', 'tour'],
  };
  await openClimbByEar(page, host, {}, silent);
  const without = await places();
  await handle(host, 'settings.write', { patch: { ear: { ...usualSettings.ear, on: true } } });
  await page.reload();
  expect(await places()).toEqual(without);
});

test('the player overrules the ear, and the record keeps both', async ({ page, host }) => {
  await plugLoopback(page);
  await openClimbByEar(page, host, {
    ...{ target: 150, missedToDrop: 10, cleanToClimb: 2, restBars: 4 },
  });
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await glimpse(stageOf(page).getByText(/Clean by ear/));
  // A standing verdict is taken back before its opposite counts.
  await page.keyboard.press('Backspace');
  await expect(page.getByRole('group', { name: /^How was pass \d/ })).toBeVisible();
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('Escape');
  const overruled = async () => (await logged(host)).find(({ verdict }) => verdict === 'missed');
  await expect.poll(overruled).toBeDefined();
  const pass = await overruled();
  expect(pass).toMatchObject({ source: 'self', earVerdict: 'clean' });
  expect(pass!.changes?.length).toBeGreaterThan(0);
});

// A delay that is not true makes every change come late.
const NOT_TRUE = { milliseconds: -20, measuredAt: '2031-04-05T18:20:00.000Z' };
const DEVICES = {
  input: 'MediaStreamAudioDestinationNode',
  output: 'Fake Default Audio Output',
};
const tooLate = { latencies: [{ ...DEVICES, ...NOT_TRUE }] };

test('the player upholds single changes against the ear, and the record keeps both', async ({
  page,
  host,
}) => {
  // In a low window the changes follow one another.
  await page.setViewportSize({ width: 1280, height: 900 });
  await plugLoopback(page);
  // What is heard stands there for the rest bars: four slow ones leave time to look and to press.
  const slow = { start: 100, target: 100, missedToDrop: 10, restBars: 4 };
  await openClimbByEar(page, host, slow, tooLate);
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  const heard = stageOf(page).getByRole('list', { name: 'What the ear heard' });
  await glimpse(heard.getByText(/Bar 1, to .*: late by \d+ ms/));
  await expectAccessible(page);
  await heard
    .getByRole('button', { name: /^Bar 2, / })
    .first()
    .click();
  // The others by their key, the hands near the guitar, until the pass is clean.
  await expect
    .poll(
      async () => {
        await page.keyboard.press('w');
        return heard.isVisible();
      },
      { intervals: [80] },
    )
    .toBe(false);
  // A pass before it in which a busy machine's output stumbled is nobody's.
  const upheld = async () => (await logged(host)).find(({ verdict }) => verdict === 'clean');
  await expect.poll(upheld).toBeDefined();
  const pass = await upheld();
  expect(pass).toMatchObject({ source: 'self', earVerdict: 'missed' });
  expect(pass!.played!.length).toBeGreaterThan(1);
  for (const { change, timing } of pass!.changes!) {
    if (pass!.played!.includes(change)) expect(timing).toBe('late');
  }
});

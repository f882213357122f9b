// Without hands: MIDI foot switches by a fake Web MIDI, and a whole climb with nothing but two pedal keys.
import type { Page } from '@playwright/test';
import { expect, test, type TestHost } from './host.ts';
import { step, type PedalKey } from './pedals/foot.ts';
import {
  BOUNCING,
  FakePedal,
  HOLD,
  installFakeMidi,
  PRESS,
  TAKE_BACK,
  TWICE,
} from './pedals/fake-midi.ts';
import { shortChart } from '../support/short-chart.ts';
import { SHORT_LADDER } from '../support/short-ladder.ts';
import { logged as passesOf, openShortClimb } from './view/short-climb.ts';

/** Rungs 380 and 400; a lap takes about 4.5 s: a bar of count-in, two bars, four bars of rest. */
const CHART = shortChart('short', 'Short Walk', 'G', 'G');
const LADDER = {
  unit: 'section:Verse',
  rules: { start: 380 },
  options: { ...SHORT_LADDER.options, cueBeats: 0 },
};

const openSetUp = (page: Page, host: TestHost) =>
  openShortClimb(page, host, { chart: CHART, ladder: LADDER });

/** Between two presses: above what counts as a bounce, below what makes two presses single ones. */
const APART = 60;

async function key(page: Page, name: PedalKey, held?: number): Promise<void> {
  await step(page, name, held);
  await page.waitForTimeout(APART);
}

/** Waits for the end of a pass. */
const asked = (page: Page, pass: number) =>
  expect(page.getByRole('group', { name: `How was pass ${pass}?` })).toBeVisible();

/** What is on disk: tempo, verdict and who judged, amendments applied. */
const logged = async (host: TestHost): Promise<unknown[]> =>
  (await passesOf(host)).map((p) => [p.rung.bpm, p.verdict, p.source]);

const first = async (host: TestHost) => (await logged(host))[0];

test('climbs to the top with two pedal keys alone', async ({ page, host }) => {
  await openSetUp(page, host);
  await key(page, 'PageUp', 700);
  await asked(page, 1);
  await key(page, 'PageDown');
  await expect.poll(() => first(host)).toEqual([380, 'missed', 'self']);
  await key(page, 'PageDown', 700);
  await expect.poll(() => first(host)).toEqual([380, 'unjudged', 'self']);
  await key(page, 'PageUp');
  await expect.poll(() => first(host)).toEqual([380, 'clean', 'self']);
  const top = page.getByRole('heading', { name: /flag is planted/ });
  const prompt = page.getByRole('group', { name: /How was pass/ });
  // A slow machine may have begun a second pass on the first rung meanwhile; so judge until the top.
  while (!(await top.isVisible())) {
    await prompt.or(top).first().waitFor();
    await key(page, 'PageUp');
  }
  await expect.poll(async () => (await logged(host)).at(-1)).toEqual([400, 'clean', 'self']);
});

test('pauses, goes on and stops with two pedal keys', async ({ page, host }) => {
  await openSetUp(page, host);
  await key(page, 'PageUp', 700);
  await expect(page.getByRole('button', { name: 'Pause' })).toBeVisible();
  await key(page, 'PageUp', 700);
  await expect(page.getByText('Paused.').first()).toBeVisible();
  await key(page, 'PageUp', 700);
  await expect(page.getByRole('button', { name: 'Pause' })).toBeVisible();
  const stopped = page.getByRole('heading', { name: /Stopped/ });
  // On a slow machine two presses may come too far apart to be a double one; a player tries again.
  await expect(async () => {
    await key(page, 'PageDown');
    await key(page, 'PageDown');
    await expect(stopped).toBeVisible({ timeout: 1000 });
  }).toPass();
});

test('judges by a MIDI foot switch, says when it is unplugged, and goes on by keys', async ({
  page,
  host,
}) => {
  await installFakeMidi(page);
  const pedal = new FakePedal(page, 'Blue Switch');
  await openSetUp(page, host);
  await page.getByRole('link', { name: 'Keys & pedals' }).click();
  await page.getByRole('button', { name: 'Use MIDI pedals' }).click();
  await expect(page.getByText('No MIDI pedal is plugged in yet.')).toBeVisible();
  await pedal.plug();
  await expect(page.getByText('Plugged in: Blue Switch.')).toBeVisible();

  await page.evaluate(() => (location.hash = '#/climb/short/section:Verse'));
  await expect(page.getByRole('button', { name: 'Climb', exact: true })).toBeEnabled();
  await pedal.send(HOLD);
  await asked(page, 1);
  // A contact that bounces for 30 ms, and a keyboard that sends for the same tap: one verdict.
  await pedal.send(BOUNCING);
  await key(page, 'ArrowUp', 20);
  await expect.poll(() => logged(host)).toEqual([[380, 'clean', expect.any(String)]]);

  // The switch beside it takes that back; the pass is judged anew.
  await pedal.send(TAKE_BACK);
  await expect.poll(() => first(host)).toEqual([380, 'unjudged', expect.any(String)]);
  await key(page, 'ArrowUp');
  await expect.poll(() => first(host)).toEqual([380, 'clean', expect.any(String)]);

  await asked(page, 2);
  await pedal.unplug();
  await expect(page.getByText('The pedal “Blue Switch” was unplugged.')).toBeVisible();
  await key(page, 'ArrowUp');
  await expect(page.getByRole('heading', { name: /flag is planted/ })).toBeVisible();
  // A slow machine may have begun another pass meanwhile, which nobody judged.
  const judged = async () => (await passesOf(host)).filter(({ verdict }) => verdict === 'clean');
  await expect.poll(judged).toHaveLength(2);
});

test('says what to do when MIDI is refused; keys work on', async ({ page, host }) => {
  await installFakeMidi(page, { fault: 'NotAllowedError' });
  await page.goto(`${host.address}#/pedals`);
  await page.getByRole('button', { name: 'Use MIDI pedals' }).click();
  await expect(page.getByText('Permission to use MIDI was refused.')).toBeVisible();
  await expect(page.getByRole('button', { name: 'Try again' })).toBeVisible();
  await page.getByRole('button', { name: 'Start the test' }).click();
  await key(page, 'PageDown');
  await expect(page.getByRole('log')).toContainText('Page Down pressed');
});

test('says what to do when the system’s MIDI does not answer, or another program holds a pedal', async ({
  page,
  host,
}) => {
  await installFakeMidi(page, { fault: 'InvalidStateError', busy: true });
  await page.goto(`${host.address}#/pedals`);
  await page.getByRole('button', { name: 'Use MIDI pedals' }).click();
  await expect(page.getByText('This computer’s MIDI does not answer.')).toBeVisible();
  await page.evaluate(() =>
    Object.assign(Reflect.get(globalThis, 'fakeMidi'), { fault: undefined }),
  );
  await page.getByRole('button', { name: 'Try again' }).click();
  const pedal = new FakePedal(page, 'Blue Switch');
  await pedal.plug();
  await expect(page.getByRole('status').getByText('another program may be using it')).toBeVisible();
  await page.evaluate(() => Object.assign(Reflect.get(globalThis, 'fakeMidi'), { busy: false }));
  await pedal.unplug();
  await pedal.plug();
  await expect(page.getByText('Plugged in: Blue Switch.')).toBeVisible();
});

test('shows what a pedal sends and learns it', async ({ page, host }) => {
  await installFakeMidi(page);
  const pedal = new FakePedal(page, 'Blue Switch');
  await page.goto(`${host.address}#/pedals`);
  await page.getByRole('button', { name: 'Use MIDI pedals' }).click();
  await pedal.plug();
  await page.getByRole('button', { name: 'Start the test' }).click();
  const log = page.getByRole('log');
  await pedal.send(PRESS);
  await expect(log).toContainText('control 64 pressed on Blue Switch');
  await pedal.send(HOLD);
  await expect(log).toContainText('control 64 held on Blue Switch');
  await pedal.send(TWICE);
  await expect(log).toContainText('control 64 pressed twice on Blue Switch');
  await page.keyboard.press('Escape');

  const missed = page.getByRole('row', { name: /^Missed/ });
  await missed.getByRole('button', { name: 'Teach a key or pedal for Missed' }).click();
  await expect(missed).toContainText('Press the key or pedal for “Missed”.');
  await pedal.send([
    [0, 0x90, 36, 100],
    [80, 0x80, 36, 0],
  ]);
  await expect(missed).toContainText('note 36');
  await expect
    .poll(() => host.services.handle('settings.read', {}))
    .toMatchObject({
      value: { settings: { pedals: { missed: expect.arrayContaining(['note:36']) } } },
    });
});

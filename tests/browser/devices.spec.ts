// Sound devices in one place: the output, its test tone, the microphone and the delay between them.
// Chromium's fake devices have names, and an output that is chosen is one the audio context says it plays through.
import type { Page } from '@playwright/test';
import { expectAccessible } from './accessible.ts';
import { openEar } from './ear/open-ear.ts';
import { expect, test, type TestHost } from './host.ts';
import { noteSound } from './view/held.ts';
import { handle, judgeNext, logged, openShortClimb } from './view/short-climb.ts';

/** With every audio context that the page makes noted, so that its outputs can be asked. */
async function openWatched(page: Page, host: TestHost): Promise<void> {
  await noteSound(page);
  await openEar(page, host);
}

/** Names of the outputs that open contexts play through; '' is the system's usual one. */
const sinks = (page: Page): Promise<readonly string[]> =>
  page.evaluate(async () => {
    const devices = await navigator.mediaDevices.enumerateDevices();
    const { contexts } = globalThis as unknown as {
      contexts: ReadonlySet<AudioContext & { sinkId: string }>;
    };
    return [...contexts]
      .filter(({ state }) => state !== 'closed')
      .map(({ sinkId }) => devices.find(({ deviceId }) => deviceId === sinkId)?.label ?? '');
  });

test('the output is chosen, tried and kept beside microphone and delay', async ({ page, host }) => {
  await openWatched(page, host);
  for (const name of ['Microphone', 'Output', 'Delay']) {
    await expect(page.getByRole('heading', { name, exact: true })).toBeVisible();
  }
  await page.getByRole('button', { name: 'Listen', exact: true }).click();
  await expect(page.getByText('The microphone is open:')).toBeVisible();
  const output = page.getByRole('combobox', { name: 'Plays through' });
  await output.selectOption({ label: 'Fake Audio Output 1' });
  await expect.poll(() => sinks(page)).toContain('Fake Audio Output 1');
  await page.getByRole('button', { name: 'Play a test tone' }).click();
  await expectAccessible(page);

  await page.reload();
  await page.getByRole('button', { name: 'Play a test tone' }).click();
  await expect(output).toHaveValue('Fake Audio Output 1');
  await expect.poll(() => sinks(page)).toEqual(['Fake Audio Output 1']);
});

test('a delay that was measured with one output does not stand for another', async ({
  page,
  host,
}) => {
  const measured = {
    ...{ input: 'Fake Default Audio Input', output: 'Fake Default Audio Output' },
    ...{ milliseconds: 61.4, measuredAt: '2031-04-05T18:20:00.000+02:00' },
  };
  await handle(host, 'settings.write', { patch: { latencies: [measured] } });
  await openEar(page, host);
  await page.getByRole('button', { name: 'Listen', exact: true }).click();
  await expect(page.getByText('The microphone is open:')).toBeVisible();
  await expect(page.getByText('61.4 ms measured on 2031-04-05 with these devices')).toBeVisible();
  const output = page.getByRole('combobox', { name: 'Plays through' });
  await output.selectOption({ label: 'Fake Audio Output 1' });
  await expect(page.getByText('Your devices have changed: measure again.')).toBeVisible();
  await output.selectOption({ value: '' });
  await expect(page.getByText('Your devices have changed')).toBeVisible();
});

test('a climb through an output that was chosen is not taken for one that lost its device', async ({
  page,
  host,
}) => {
  await handle(host, 'settings.write', { patch: { outputDevice: 'Fake Audio Output 1' } });
  await openShortClimb(page, host);
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  await judgeNext(page, 1, 'ArrowUp');
  await expect(page.getByText(/paused/i)).toHaveCount(0);
  await expect.poll(async () => (await logged(host)).length).toBe(1);
});

// What a page may not do: lead elsewhere, open windows, use the camera, ask the main process from a strange frame.
import { expect } from '@playwright/test';
import { CALL } from '../../../app/electron/channels.ts';
import { askForMedia } from '../../support/page-powers.ts';
import { ipcMain } from '../standin/ipc.ts';
import { record } from '../standin/record.ts';
import { BrowserWindow } from '../standin/window.ts';
import { type Scenario, WAIT } from './scenario.ts';

const scenario: Scenario = {
  chromium: ['--use-fake-ui-for-media-stream', '--use-fake-device-for-media-stream'],
  async run({ window: shown, page }) {
    const before = shown.webContents.getURL().split('#')[0];
    const refused = (): number =>
      record.log.filter(([what, , how]) => what === 'navigation' && how === 'refused').length;

    for (const address of ['https://elsewhere.example/', 'rungwise://trainer/other.html']) {
      const seen = refused();
      const target = address.replace('rungwise://trainer', '');
      await page.evaluate((to) => void (location.href = to), target).catch(() => undefined);
      await expect.poll(refused, WAIT).toBeGreaterThan(seen);
    }
    await page.evaluate(() => void window.open('https://elsewhere.example/'));
    await expect
      .poll(() => record.log.filter(([what]) => what === 'window-open'), WAIT)
      .toEqual([['window-open', 'deny']]);
    expect(BrowserWindow.all).toHaveLength(1);
    expect(shown.webContents.getURL().split('#')[0]).toBe(before);

    const asks = (what: MediaStreamConstraints) => askForMedia(page, what);
    expect(await asks({ video: true })).toBe('NotAllowedError');
    expect(await asks({ audio: true, video: true })).toBe('NotAllowedError');
    expect(await asks({ audio: true })).toBe('granted');

    const { webContents } = shown;
    for (const senderFrame of [null, { url: 'rungwise://trainer/index.html' }]) {
      const event = { sender: webContents, senderFrame };
      const answer = await ipcMain.answer(CALL, event, ['host.info', {}]);
      expect(answer).toMatchObject({ ok: false, problems: [{ code: 'stranger' }] });
    }
  },
};

export default scenario;

// The first screen and every room, by the menu: no word from the console, no policy broken, nothing of Node in the page.
import fs from 'node:fs';
import path from 'node:path';
import { expect } from '@playwright/test';
import { roomNames } from '../../../app/services/contract/rooms.ts';
import { app } from '../standin/app.ts';
import { record } from '../standin/record.ts';
import { choose, menuItems } from '../standin/shell.ts';
import { call, expectNoComplaints, type Scenario, WAIT } from './scenario.ts';

const scenario: Scenario = {
  async run({ window: shown, page, data }) {
    await expect(page).toHaveTitle(/Rungwise/, WAIT);
    expect(shown.webContents.getURL()).toMatch(/^rungwise:\/\/trainer\/index\.html/);
    expect(record.log.map(([what]) => what)).toContain('enableSandbox');
    expect(shown.options.webPreferences).toMatchObject({
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
    });

    expect(await page.evaluate(() => Object.keys(window.rungwise!))).toContain('call');
    const worlds = () => [typeof process, typeof require, isSecureContext];
    expect(await page.evaluate(worlds)).toEqual(['undefined', 'undefined', true]);
    // In a task of its own: what is evaluated from outside is free of the policy.
    const evaluated = await page.evaluate(
      () =>
        new Promise<string>((done) =>
          setTimeout(() => {
            try {
              done(String(new Function('return 1')()));
            } catch (error) {
              done((error as Error).name);
            }
          }),
        ),
    );
    expect(evaluated).toBe('EvalError');
    record.console.splice(0);

    expect((await call(page, 'host.info')).value).toMatchObject({ kind: 'electron' });
    expect((await call(page, 'constructor')).ok).toBe(false);
    expect((await call(page, 'log.append', { entries: [] })).ok).toBe(false);
    const patch = { breakReminderMinutes: 30 };
    expect((await call(page, 'settings.write', { patch })).ok).toBe(true);
    const stored = fs.readFileSync(path.join(data, 'settings.json'), 'utf8');
    expect(JSON.parse(stored)).toMatchObject(patch);

    for (const name of Object.values(roomNames)) {
      choose('Rooms', name);
      await expect(page).toHaveTitle(`${name} · Rungwise`, WAIT);
      await expect(page.locator('main h1')).toBeVisible(WAIT);
    }
    await page.evaluate(() => void (location.hash = '#/handbook/licences'));
    await expect(page.getByText(/^zod \d+\.\d+\.\d+ \(MIT\)$/)).toBeVisible(WAIT);
    expectNoComplaints();

    const labels = menuItems().map((item) => item.labels.join(' › '));
    expect(new Set(labels).size).toBe(labels.length);
    app.quit();
    await expect.poll(() => shown.destroyed, WAIT).toBe(true);
  },
};

export default scenario;

// Files from the system: by `open-file`, by a second start with a file's name, and a file that cannot be read.
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import path from 'node:path';
import { expect } from '@playwright/test';
import { app } from '../standin/app.ts';
import { cancellable, record } from '../standin/record.ts';
import { choose, menuItems } from '../standin/shell.ts';
import {
  anotherProcess,
  expectNoComplaints,
  type Scenario,
  titlesOf,
  WAIT,
  writeChart,
} from './scenario.ts';

const scenario: Scenario = {
  async run({ window: shown, page, data, root }) {
    const titles = (): Promise<string[]> => titlesOf(page);

    app.emit('open-file', cancellable(), writeChart(data, 'Opened'));
    await expect.poll(titles, WAIT).toContain('Opened');

    shown.minimize();
    const step = path.join(import.meta.dirname, 'steps', 'second-start.ts');
    const start = anotherProcess({ data, root }, step, writeChart(data, 'Second'));
    const ended = once(spawn(process.execPath, start, { stdio: 'ignore' }), 'exit');
    await expect.poll(titles, WAIT).toContain('Second');
    await expect.poll(() => shown.minimized, WAIT).toBe(false);
    await expect.poll(() => record.log.map(([what]) => what), WAIT).toContain('focus');
    expect(await ended).toEqual([0, null]);

    app.emit('open-file', cancellable(), path.join(data, 'gone.rungchart'));
    await expect(page.getByText('‘gone.rungchart’ could not be opened').first()).toBeVisible(WAIT);

    const recent = (): string[] =>
      menuItems().flatMap(({ labels }) => (labels[1] === 'Open recent' ? [labels[2]!] : []));
    const earlier = recent();
    await page.evaluate(() => void (location.hash = '#/charts/opened'));
    await expect.poll(recent, WAIT).toEqual(['Opened', ...earlier]);
    await page.evaluate(() => void (location.hash = '#/charts/second'));
    await expect.poll(recent, WAIT).toEqual(['Second', 'Opened', ...earlier]);
    choose('File', 'Open recent', 'Opened');
    await expect.poll(() => shown.webContents.getURL(), WAIT).toContain('#/charts/opened');
    expectNoComplaints();
  },
};

export default scenario;

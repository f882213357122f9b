// Files from the system: by `open-file`, by a second start with a file's name, and a file that cannot be read.
import { spawn } from 'node:child_process';
import fs from 'node:fs';
import path from 'node:path';
import { expect } from '@playwright/test';
import { writeChartFile } from '../../support/chart-file.ts';
import { demoCharts } from '../../../app/services/machine/demo-charts.ts';
import { app } from '../standin/app.ts';
import { cancellable, record } from '../standin/record.ts';
import { choose, menuItems } from '../standin/shell.ts';
import { call, expectNoComplaints, firstWindow, type Scenario, WAIT } from './scenario.ts';

function chartFile(folder: string, title: string): string {
  const file = path.join(folder, `${title}.rungchart`);
  fs.writeFileSync(file, writeChartFile({ ...demoCharts()[0]!, id: title.toLowerCase(), title }));
  return file;
}

const scenario: Scenario = {
  async run({ data, root }) {
    const { window: shown, page } = await firstWindow();
    const titles = async (): Promise<string[]> => {
      const { value } = await call(page, 'charts.list');
      return (value as { charts: { title: string }[] }).charts.map(({ title }) => title);
    };

    app.emit('open-file', cancellable(), chartFile(data, 'Opened'));
    await expect.poll(titles, WAIT).toContain('Opened');

    shown.minimize();
    const second = spawn(
      process.execPath,
      [
        ...['--import', new URL('../standin/hook.ts', import.meta.url).href],
        path.join(import.meta.dirname, '..', 'standin', 'run.ts'),
        ...[root, data, import.meta.filename, chartFile(data, 'Second')],
      ],
      { stdio: 'ignore' },
    );
    const ended = new Promise((done) => second.on('exit', done));
    await expect.poll(titles, WAIT).toContain('Second');
    expect(shown.minimized).toBe(false);
    expect(record.log.map(([what]) => what)).toContain('focus');
    await ended;

    app.emit('open-file', cancellable(), path.join(data, 'gone.rungchart'));
    await expect(page.getByText('‘gone.rungchart’ could not be opened').first()).toBeVisible(WAIT);

    await page.evaluate(() => void (location.hash = '#/charts/opened'));
    const recent = (): string[] =>
      menuItems().flatMap(({ labels }) => (labels[1] === 'Open recent' ? [labels[2]!] : []));
    await expect.poll(recent, WAIT).toEqual(['Opened']);
    await page.evaluate(() => void (location.hash = '#/charts/second'));
    await expect.poll(recent, WAIT).toEqual(['Second', 'Opened']);
    choose('File', 'Open recent', 'Opened');
    await expect.poll(() => shown.webContents.getURL(), WAIT).toContain('#/charts/opened');
    expectNoComplaints();
  },
};

export default scenario;

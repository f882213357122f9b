// Teacher → student → teacher through a shared folder, by two real hosts; files come late and in part.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { assign, type Student } from '../../app/core/progress/assignment.ts';
import type { Desk, Passes } from '../../app/services/contract/contract.ts';
import { expectAccessible } from './accessible.ts';
import { expect, startHost, test, type TestHost } from './host.ts';
import { chart, diary, units } from './record/diary.ts';
import { handle } from './view/short-climb.ts';

let made = 0;
const at = '2031-04-01T10:00:00Z';
const ada: Student = {
  id: 'ada',
  name: 'Ada',
  since: at,
  assignments: assign(chart, units.slice(0, 2), {
    at,
    by: 'Ms Tern',
    newId: () => `set-${++made}`,
  }),
  comments: [],
};

/** Where a reload of the room would be: the same window at another room. */
const room = (host: TestHost, name: string) => `${new URL(host.address).origin}/#/${name}`;

const sharedFiles = (folder: string): string[] =>
  fs
    .readdirSync(path.join(folder, 'rungwise-shared'), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.rungshare'))
    .map((name) => path.join(folder, 'rungwise-shared', name));

test('a sheet goes out and a report comes back through one folder', async ({
  browser,
  page,
  host,
}) => {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-shared-'));
  const home = await startHost();
  const own = await browser.newPage();
  try {
    const tern = { ...ada, id: 'self', name: 'Ms Tern', assignments: [] };
    await handle(host, 'students.save', { student: tern });
    await handle(host, 'students.save', { student: ada });
    await handle(host, 'charts.save', { chart });

    // The teacher chooses the folder and puts the sheet there.
    await page.goto(`${host.address}#/care`);
    const panel = page.getByRole('region', { name: 'A shared folder' });
    await panel.getByLabel('The folder').fill(path.join(folder, 'nowhere'));
    await panel.getByRole('button', { name: 'Keep this folder' }).click();
    await expect(page.getByText(/nowhere is not there/)).toBeVisible();
    await panel.getByLabel('The folder').fill(folder);
    await panel.getByRole('button', { name: 'Keep this folder' }).click();
    await expect(page.getByText('This folder is shared from now on.')).toBeVisible();
    await expectAccessible(page);
    await page.goto(room(host, 'desk/ada'));
    await page.getByRole('button', { name: 'Write the task sheet' }).click();
    await expect(page.getByText(/task sheet for Ada was put into the shared folder/)).toBeVisible();

    // It is half there at first, then whole.
    const [file] = sharedFiles(folder);
    const whole = fs.readFileSync(file!, 'utf8');
    fs.writeFileSync(file!, whole.slice(0, 100));
    await handle(home, 'shared.choose', { folder });
    await own.goto(`${home.address}#/today`);
    await expect(own.getByRole('heading', { level: 1 })).toBeVisible();
    await expect(own.getByText('Waiting in the shared folder')).toHaveCount(0);
    fs.writeFileSync(file!, whole);
    fs.copyFileSync(file!, file!.replace('.rungshare', ' (copy).rungshare'));
    await own.evaluate(() => dispatchEvent(new Event('focus')));
    await own.getByRole('button', { name: 'Look at Ada task sheet' }).click();
    const sheet = own.getByRole('dialog', { name: 'Task sheet' });
    await sheet.getByRole('button', { name: 'Take it in', exact: true }).click();
    await expect(own.getByText('The task sheet of Ms Tern was taken in.')).toBeVisible();
    await expect(own.getByText('Waiting in the shared folder')).toHaveCount(0);

    // The student plays, and hands the report back the same way.
    const entries = diary({ until: '2031-04-09', days: 2, passesPerDay: 5, units: 1 });
    await handle(home, 'log.append', { entries });
    await own.reload();
    await own.getByRole('button', { name: 'Hand back a report' }).click();
    const dialog = own.getByRole('dialog', { name: 'Hand back a report' });
    await dialog.getByRole('button', { name: 'Write the report' }).click();
    await expect(own.getByText('Your report was put into the shared folder.')).toBeVisible();

    await page.evaluate(() => dispatchEvent(new Event('focus')));
    await page.getByRole('button', { name: 'Look at Ada practice report' }).click();
    const report = page.getByRole('dialog', { name: 'Practice report' });
    await expect(report.getByLabel('Belongs to')).toHaveValue('ada');
    await report.getByRole('button', { name: 'Take it in', exact: true }).click();
    await expect(page.getByText('The report of Ada was taken in.')).toBeVisible();
    const { passes } = (await handle(host, 'log.passes', { desk: 'ada' })) as Passes;
    expect(passes).toHaveLength(entries.length);
    const { students } = (await handle(home, 'students.list', {})) as Desk;
    expect(students[0]!.assignments).toHaveLength(2);

    // Taken off, nothing of the student stays of what the teacher's machine wrote.
    await page.getByRole('button', { name: 'Take off' }).click();
    await expect(async () =>
      expect(fs.readFileSync(file!, 'utf8')).not.toContain('Low Tide'),
    ).toPass();
  } finally {
    await own.close();
    await home.close();
    fs.rmSync(folder, { recursive: true, force: true });
  }
});

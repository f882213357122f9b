// Teacher → student → teacher through a shared folder, by two real hosts; files come late and in part.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { assign, type Student } from '../../app/core/progress/assignment.ts';
import type { Desk, Passes, SettingsRead } from '../../app/services/contract/contract.ts';
import type { Page } from '@playwright/test';
import { expectAccessible } from './accessible.ts';
import { atTestTime, expect, startHost, test, type TestHost } from './host.ts';
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
  await atTestTime(own.context());
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
    await panel.getByLabel('Take in the reports of students on my list').click();
    await expectAccessible(page);
    await page.goto(room(host, 'desk/ada'));
    await page.getByRole('button', { name: 'Write the task sheet' }).click();
    await expect(page.getByText(/task sheet for Ada was put into the shared folder/)).toBeVisible();

    // It is half there at first, then whole.
    const [file] = sharedFiles(folder);
    const whole = fs.readFileSync(file!, 'utf8');
    fs.writeFileSync(file!, whole.slice(0, 100));
    await handle(home, 'shared.choose', { folder });
    await own.goto(`${home.address}#/care`);
    await expect(
      own.getByText(/^1 file there cannot be used now: it is still on its way/),
    ).toBeVisible();
    await own.goto(room(home, 'today'));
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

    // From now on both go by themselves: nobody presses anything.
    await own.goto(room(home, 'care'));
    await own.getByLabel('Who gets them by themselves').selectOption('Ms Tern');
    await expect(own.getByText(/Ms Tern gets what is new after you have practised/)).toBeVisible();
    await expectAccessible(own);
    await handle(host, 'shared.looksFirst', { on: false });
    const later = diary({ until: '2031-04-10', days: 1, passesPerDay: 3, units: 1, prefix: 'l' });
    await handle(home, 'log.append', { entries: later });
    await handle(home, 'shared.sync', {});
    await page.evaluate(() => dispatchEvent(new Event('focus')));
    await expect(page.getByText('Ada’s report came in: 3 new passes.')).toBeVisible();

    // Taken off, nothing of the student stays of what the teacher's machine wrote.
    await page.getByRole('button', { name: 'Take off' }).click();
    await expect(async () =>
      expect(fs.readFileSync(file!, 'utf8')).not.toContain('Low Tide'),
    ).toPass();

    // Removed for good, nothing can be brought back, and nobody is offered to.
    await expect(page.getByText('‘Ada’ was taken off the list. The log stays.')).toBeVisible();
    await page.getByText('Taken off the list: 1').click();
    await page.getByRole('button', { name: /^Remove Ada for good/ }).click();
    const sure = page.getByRole('dialog', { name: 'Remove Ada for good?' });
    await expectAccessible(page);
    await sure.getByRole('button', { name: 'Remove for good' }).click();
    await expect(page.getByText('Everything of ‘Ada’ was removed for good.')).toBeVisible();
    await expect(page.getByText(/was taken off the list/)).toHaveCount(0);
    await expect(page.getByText(/Taken off the list/)).toHaveCount(0);
    expect(((await handle(host, 'log.passes', { desk: 'ada' })) as Passes).passes).toEqual([]);
  } finally {
    await own.close();
    await home.close();
    fs.rmSync(folder, { recursive: true, force: true });
  }
});

test('two computers of one player keep the same practice', async ({ browser, page, host }) => {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-own-'));
  const other = await startHost();
  const second = await browser.newPage();
  await atTestTime(second.context());
  const panelOf = (one: Page) => one.getByRole('region', { name: 'A shared folder' });
  try {
    for (const one of [host, other]) await handle(one, 'shared.choose', { folder });
    const entries = diary({ until: '2031-04-09', days: 2, passesPerDay: 5, units: 1 });
    await handle(host, 'log.append', { entries });
    await page.goto(`${host.address}#/care`);
    await panelOf(page).getByLabel('What you call this computer').fill('Laptop');
    await panelOf(page).getByRole('button', { name: 'This is my first computer' }).click();
    await expect(panelOf(page).getByText('Laptop (this one)')).toBeVisible();
    const code = await panelOf(page).locator('strong').innerText();
    await expectAccessible(page);

    // The code is typed with the keyboard alone; a wrong one says what to do.
    await second.goto(`${other.address}#/care`);
    const panel = panelOf(second);
    await panel.getByLabel('What you call this computer').fill('Desktop');
    await panel.getByLabel('Code').fill('ACDE-FGHJ');
    await second.keyboard.press('Enter');
    await expect(second.getByText(/Check the code and the folder/)).toBeVisible();
    await panel.getByLabel('Code').fill(code.toLowerCase());
    await second.keyboard.press('Enter');
    const dialog = second.getByRole('dialog', { name: 'Bring your computers together' });
    await expect(dialog.getByText(/Laptop: \d+ records/)).toBeVisible();
    await expectAccessible(second);
    await dialog.getByRole('button', { name: 'Yes, bring them together' }).press('Enter');
    await expect(panel.getByText('Desktop (this one)')).toBeVisible();
    const { passes } = (await handle(other, 'log.passes', {})) as Passes;
    expect(passes).toHaveLength(entries.length);

    // What is changed on one shows on the other without a reload.
    await handle(other, 'settings.write', { patch: { leftHanded: true } });
    await handle(other, 'shared.sync', {});
    await handle(host, 'shared.sync', {});
    await expect(panelOf(page).getByText(/Desktop: \d+ record/)).toBeVisible();
    const { settings } = (await handle(host, 'settings.read', {})) as SettingsRead;
    expect(settings.leftHanded).toBe(true);

    await panel.getByRole('button', { name: 'Let this computer go on alone' }).click();
    await second.getByRole('button', { name: 'Go, and take out what it wrote' }).click();
    await expect(panel.getByRole('button', { name: 'This is my other computer' })).toBeVisible();

    // What is written there is told in short; stopping asks what becomes of it.
    await page.reload();
    await panelOf(page)
      .getByText(/What this computer wrote there/)
      .click();
    await expect(panelOf(page).getByText(/Your practice, for your other computers/)).toBeVisible();
    await panelOf(page).getByRole('button', { name: 'Stop sharing' }).click();
    const stop = page.getByRole('dialog', { name: 'Stop sharing' });
    await expectAccessible(page);
    await stop.getByRole('button', { name: 'Stop, and take it out' }).press('Enter');
    await expect(page.getByText('Nothing is shared any more.')).toBeVisible();
    await expect(panelOf(page).getByRole('button', { name: 'Stop sharing' })).toHaveCount(0);
    const left = fs.readdirSync(folder, { recursive: true, encoding: 'utf8' });
    const texts = left
      .filter((name) => name.endsWith('.rungshare'))
      .map((name) => fs.readFileSync(path.join(folder, name), 'utf8'));
    expect(texts.join('')).not.toContain('"pass"');
  } finally {
    await second.close();
    await other.close();
    fs.rmSync(folder, { recursive: true, force: true });
  }
});

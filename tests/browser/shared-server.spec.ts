// Teacher → two students → teacher over a real WebDAV server, locked with a passphrase, on a line that fails.
import fs from 'node:fs';
import path from 'node:path';
import { assign, type Student } from '../../app/core/progress/assignment.ts';
import type { Desk, Passes } from '../../app/services/contract/contract.ts';
import type { SharedState } from '../../app/services/contract/shared.ts';
import { DAV_MISSING, davInstalled, startDav } from '../support/dav/server.ts';
import { startFaultyLine } from '../support/dav/faulty-line.ts';
import { expectAccessible } from './accessible.ts';
import { atTestTime, expect, startHost, test, type TestHost } from './host.ts';
import { chart, diary, units } from './record/diary.ts';
import { handle } from './view/short-climb.ts';

const PASSPHRASE = 'harbour sieve lantern moss eleven';
const at = '2031-04-01T10:00:00Z';
let made = 0;
const listed = (id: string, name: string): Student => ({
  ...{ id, name, since: at, comments: [] },
  assignments: assign(chart, units.slice(0, 2), {
    ...{ at, by: 'Ms Tern', newId: () => `set-${++made}` },
  }),
});

/** Where a reload of the room would be: the same window at another room. */
const room = (host: TestHost, name: string) => `${new URL(host.address).origin}/#/${name}`;

const sharedOf = async (host: TestHost) => (await handle(host, 'shared.read', {})) as SharedState;

test('a locked sheet goes out and reports come back through a server', async ({
  browser,
  page,
  host,
}) => {
  test.skip(!davInstalled(), DAV_MISSING);
  test.slow();
  const server = await startDav();
  const line = await startFaultyLine(server.port);
  const homes = [await startHost(), await startHost()] as const;
  const ada = await browser.newPage();
  await atTestTime(ada.context());
  const onServer = () =>
    fs
      .readdirSync(server.folder, { recursive: true, encoding: 'utf8' })
      .filter((name) => name.includes('.rungshare'))
      .map((name) => path.join(server.folder, name));
  try {
    const tern = { ...listed('self', 'Ms Tern'), assignments: [] };
    const own = [tern, listed('ada', 'Ada'), listed('ben', 'Ben')];
    for (const student of own) await handle(host, 'students.save', { student });
    await handle(host, 'charts.save', { chart });

    // The teacher connects: with a wrong password first, then rightly, and locks it.
    await page.goto(`${host.address}#/care`);
    const panel = page.getByRole('region', { name: 'A shared folder' });
    await panel.getByText('A folder on a server instead').click();
    const fill = async (password: string) => {
      await panel.getByLabel('Address').fill(line.url);
      await panel.getByLabel('Your name there').fill(server.user);
      await panel.getByLabel('Password').fill(password);
      await expect(panel.getByRole('button', { name: 'Connect' })).toBeEnabled();
      await panel.getByLabel('Password').press('Enter');
    };
    await fill('guess');
    await expect(page.getByText(/does not take this name and password/)).toBeVisible();
    await fill(server.password);
    await expect(page.getByText('What you share goes to this server from now on.')).toBeVisible();
    await expect(panel.getByText(/Everything was exchanged/)).toBeVisible();
    await panel.getByText('Lock it with a passphrase').click();
    await panel.getByLabel('Passphrase').fill('short');
    await panel.getByRole('button', { name: 'Lock it' }).click();
    await expect(page.getByText(/has 12 characters or more/)).toBeVisible();
    await panel.getByLabel('Passphrase').fill(PASSPHRASE);
    await panel.getByRole('button', { name: 'Lock it' }).click();
    await expect(panel.getByText(/It is locked/)).toBeVisible();
    await expectAccessible(page);

    // The line is down while the sheets are written: they wait, and go when it is back.
    line.fault = () => ({ kind: 'cut-back', bytes: 0 });
    for (const [id, name] of [
      ['ada', 'Ada'],
      ['ben', 'Ben'],
    ]) {
      await page.goto(room(host, `desk/${id}`));
      await page.getByRole('button', { name: 'Write the task sheet' }).click();
      await expect(
        page.getByText(new RegExp(`task sheet for ${name} (is on its way|waits)`)),
      ).toBeVisible();
    }
    await handle(host, 'shared.meet', {});
    expect((await sharedOf(host)).carrier).toMatchObject({
      unsent: 2,
      trouble: { code: 'server-cut' },
    });
    expect(onServer()).toEqual([]);
    line.fault = () => undefined;
    await page.goto(room(host, 'care'));
    await panel.getByRole('button', { name: 'Look now' }).click();
    await expect.poll(onServer).toHaveLength(2);
    await expect(panel.getByText(/wait here to travel/)).toHaveCount(0);
    for (const file of onServer()) {
      expect(fs.readFileSync(file, 'latin1')).toMatch(/^age-encryption.org\/v1/);
    }

    // The students see nothing before they know the passphrase, and are told so.
    for (const home of homes) {
      const { user, password } = server;
      await handle(home, 'shared.connect', { url: server.url, user, password });
      await handle(home, 'shared.meet', {});
      expect((await sharedOf(home)).waiting).toEqual([]);
      await handle(home, 'shared.lock', { passphrase: 'not this one at all' });
    }
    await ada.goto(`${homes[0].address}#/care`);
    const lock = ada.getByRole('region', { name: 'A shared folder' });
    await expect(lock.getByText(/is locked with a passphrase/)).toBeVisible();
    await expectAccessible(ada);
    await lock.getByLabel('Passphrase').fill(PASSPHRASE);
    await lock.getByRole('button', { name: 'Open it' }).click();
    await expect(lock.getByText(/It is locked/)).toBeVisible();
    await handle(homes[1], 'shared.lock', { passphrase: PASSPHRASE });

    await ada.goto(room(homes[0], 'today'));
    await ada.getByRole('button', { name: 'Look at Ada task sheet' }).click();
    const sheet = ada.getByRole('dialog', { name: 'Task sheet' });
    await sheet.getByRole('button', { name: 'Take it in', exact: true }).click();
    await expect(ada.getByText('The task sheet of Ms Tern was taken in.')).toBeVisible();

    // Ada plays and hands her report back; the teacher’s machine takes it in by itself, since it knows her.
    const entries = diary({ until: '2031-04-09', days: 2, passesPerDay: 5, units: 1 });
    await handle(homes[0], 'log.append', { entries });
    await page.goto(room(host, 'desk'));
    await ada.reload();
    await ada.getByRole('button', { name: 'Hand back a report' }).click();
    const dialog = ada.getByRole('dialog', { name: 'Hand back a report' });
    await dialog.getByRole('button', { name: 'Write the report' }).click();
    await expect(ada.getByText('Your report is on its way to the shared folder.')).toBeVisible();
    await handle(homes[0], 'shared.meet', {});
    await handle(host, 'shared.meet', {});
    await expect(async () => {
      const { passes } = (await handle(host, 'log.passes', { desk: 'ada' })) as Passes;
      expect(passes).toHaveLength(entries.length);
    }).toPass();
    const { students } = (await handle(homes[0], 'students.list', {})) as Desk;
    expect(students[0]!.assignments).toHaveLength(2);
    await expect
      .poll(async () => (await sharedOf(homes[1])).waiting.map(({ student }) => student))
      .toContain('ben');
  } finally {
    await ada.close();
    for (const home of homes) await home.close();
    await line.close();
    await server.close();
  }
});

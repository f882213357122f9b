// A task sheet and a report that are written while the shared folder is away: they wait, can be kept back, and go by
// themselves when it is back.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { SharedState } from '../../app/services/contract/shared.ts';
import { expectAccessible } from './accessible.ts';
import { expect, test } from './host.ts';
import { chart, units } from './record/diary.ts';
import { assign, type Student } from '../../app/core/progress/assignment.ts';
import { handle } from './view/short-climb.ts';

const at = '2031-04-01T10:00:00Z';
const student = (id: string, name: string): Student => ({
  ...{ id, name, since: at, comments: [] },
  assignments: assign(chart, units.slice(0, 2), {
    ...{ at, by: 'Ms Tern', newId: () => `set-${id}-${Math.random().toString(36).slice(2)}` },
  }),
});

test('what is written while the folder is away waits, is kept back, or goes when it is back', async ({
  page,
  host,
}) => {
  const folder = path.join(fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-away-')), 'lessons');
  fs.mkdirSync(folder);
  const state = () => handle(host, 'shared.read', {}) as Promise<SharedState>;
  try {
    await handle(host, 'charts.save', { chart });
    for (const one of [student('ada', 'Ada'), student('ben', 'Ben')])
      await handle(host, 'students.save', { student: one });
    await handle(host, 'shared.choose', { folder });
    fs.renameSync(folder, `${folder}-away`);

    await page.goto(`${host.address}#/desk/ada`);
    const waiting = page.getByRole('region', { name: 'Waiting to be sent' });
    await page.getByRole('button', { name: 'Write the task sheet' }).click();
    await expect(page.getByText(/task sheet for Ada waits on this computer/)).toBeVisible();
    await expect(waiting.getByText(/^Ada task sheet, written/)).toBeVisible();
    await expect(waiting.getByText(/cannot be reached now/)).toBeVisible();
    await expectAccessible(page);
    await page.getByRole('button', { name: /^Ben/ }).click();
    await expect(waiting).toHaveCount(0);
    await page.getByRole('button', { name: 'Write the task sheet' }).click();
    await expect(waiting.getByText(/^Ben task sheet, written/)).toBeVisible();
    await waiting.getByRole('button', { name: 'Do not send Ben task sheet' }).press('Enter');
    await expect(waiting).toHaveCount(0);

    // The player's own report, likewise.
    await page.goto(`${new URL(host.address).origin}/#/today`);
    await page.getByRole('button', { name: 'Hand back a report' }).click();
    const dialog = page.getByRole('dialog', { name: 'Hand back a report' });
    await dialog.getByLabel('Your name on it').fill('Cleo');
    await dialog.getByRole('button', { name: 'Write the report' }).click();
    await expect(page.getByText(/^Your report waits on this computer/)).toBeVisible();
    await expect(waiting.getByText(/^Cleo practice report, written/)).toBeVisible();

    // Both stand where the folder is chosen, and go without a press.
    await page.goto(`${new URL(host.address).origin}/#/care`);
    await expect(waiting.getByRole('listitem')).toHaveCount(2);
    await expectAccessible(page);
    fs.renameSync(`${folder}-away`, folder);
    await handle(host, 'shared.sync', {});
    await expect(waiting).toHaveCount(0);
    const { written } = await state();
    expect(written.map((one) => ('name' in one ? one.name : ''))).toEqual([
      'Ada task sheet.rungsheet',
      'Cleo practice report.rungreport',
    ]);
  } finally {
    fs.rmSync(path.dirname(folder), { recursive: true, force: true });
  }
});

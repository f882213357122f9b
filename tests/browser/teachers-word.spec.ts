// A teacher's verdict on single passes: given by keys alone, carried home by the task sheet, shown with its judge.
import { readFile } from 'node:fs/promises';
import type { Page } from '@playwright/test';
import { daysAgo } from '../support/test-time.ts';
import { expectAccessible } from './accessible.ts';
import { expect, startHost, test, type TestHost } from './host.ts';
import { diary, ownDesk, units } from './record/diary.ts';
import { handle, tabTo } from './view/short-climb.ts';

const entries = diary({ until: daysAgo(1), days: 3, passesPerDay: 10, units: 1 });
const student = { ...ownDesk('2021-06-01', '2021-04-01T10:00:00Z'), id: 'ada', name: 'Ada' };
const unit = units[0]!;

async function seedDesk(host: TestHost): Promise<void> {
  const teacher = { ...student, id: 'self', name: 'Ms Tern', assignments: [], comments: [] };
  await handle(host, 'students.save', { student: teacher });
  await handle(host, 'students.save', { student });
  await handle(host, 'log.append', { desk: student.id, entries });
}

async function openPasses(page: Page, host: TestHost) {
  await page.goto(`${host.address}#/desk/ada`);
  await page.getByRole('button', { name: `History of ${unit.name}` }).click();
  return page.getByRole('region', { name: `${unit.name}, pass by pass` });
}

test('a pass is judged by keys alone, and taken back; the figures say who judged', async ({
  page,
  host,
}) => {
  await seedDesk(host);
  const panel = await openPasses(page, host);
  await expect(panel.getByText('30 passes, 0 with your verdict')).toBeVisible();
  const newest = panel.getByRole('listitem').first();
  const before = (await newest.innerText()).includes('clean by the student') ? 'clean' : 'missed';
  const [key, mine] = before === 'clean' ? ['Missed', 'missed'] : ['Clean', 'clean'];

  const judge = newest.getByRole('button', { name: /^Judge the pass of / });
  await tabTo(page, judge);
  await page.keyboard.press('Enter');
  const dialog = page.getByRole('dialog', { name: 'Your verdict' });
  await tabTo(page, dialog.getByLabel('Remark'));
  await page.keyboard.type('The thumb came late.');
  await expectAccessible(page);
  await tabTo(page, dialog.getByRole('button', { name: key }));
  await page.keyboard.press('Enter');
  await expect(dialog).toBeHidden();
  await expect(newest).toContainText(
    `${mine} by the teacher (Ms Tern); before: ${before} by the student`,
  );
  await expect(newest).toContainText('The thumb came late.');
  await expect(panel.getByText('30 passes, 1 with your verdict')).toBeVisible();
  await expect(page.getByText(/judged by the student, 1 by the teacher/).first()).toBeVisible();
  await expect(judge).toBeFocused();
  await expectAccessible(page);

  await page.keyboard.press('Enter');
  await expect(dialog.getByLabel('Remark')).toHaveValue('The thumb came late.');
  await tabTo(page, dialog.getByRole('button', { name: 'Take it back' }));
  await page.keyboard.press('Enter');
  await expect(newest).toContainText(`${before} by the student`);
  await expect(newest).not.toContainText('teacher');
  await expect(
    page.getByText(/judged by the student(?!, \d+ by the teacher)/).first(),
  ).toBeVisible();
});

test('a pass that the student upheld against the ear says so, change by change', async ({
  page,
  host,
}) => {
  const heard = entries.findLast((entry) => entry.kind === 'pass')!;
  const change = { bar: 0, change: 1, from: 'Bm', to: 'G', timing: 'on-time', confidence: 1 };
  const pass = {
    ...{
      ...heard.pass,
      id: 'upheld',
      at: `${daysAgo(0)}T00:00:00Z`,
      verdict: 'clean',
      source: 'self',
    },
    ...{ earVerdict: 'missed', played: [1], changes: [{ ...change, chord: 'other', heard: 'G7' }] },
  };
  await seedDesk(host);
  await handle(host, 'log.append', { desk: student.id, entries: [{ ...heard, pass }] });
  const panel = await openPasses(page, host);
  await expect(panel.getByRole('listitem').first()).toContainText(
    'clean by the student; the ear said missed, upheld against it: Bm → G in bar 1',
  );
  await expectAccessible(page);
});

test('the task sheet carries it home, and the student’s log names the teacher', async ({
  page,
  host,
}) => {
  await seedDesk(host);
  const panel = await openPasses(page, host);
  await panel
    .getByRole('button', { name: /^Judge the pass/ })
    .first()
    .click();
  const dialog = page.getByRole('dialog', { name: 'Your verdict' });
  await dialog.getByLabel('Remark').fill('The thumb came late.');
  await dialog.getByRole('button', { name: 'Missed' }).click();
  await expect(panel.getByText('1 with your verdict')).toBeVisible();
  await page.goto(`${new URL(host.address).origin}/#/desk/ada`);
  const download = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Write the task sheet' }).click();
  const sheet = await readFile(await (await download).path());

  const home = await startHost();
  try {
    await handle(home, 'log.append', { entries });
    await page.goto(`${home.address}#/today`);
    const chooser = page.waitForEvent('filechooser');
    await page.getByRole('button', { name: 'Open a task sheet' }).click();
    const file = { name: 'sheet.json', mimeType: 'application/json', buffer: sheet };
    await (await chooser).setFiles(file);
    const preview = page.getByRole('dialog', { name: 'Task sheet' });
    await expect(preview.getByRole('heading', { name: 'Verdicts on your passes' })).toBeVisible();
    await expect(preview).toContainText('The thumb came late.');
    await preview.getByRole('button', { name: 'Take it in' }).click();
    await expect(page.getByText(/1 by the teacher/).first()).toBeVisible();

    await page.getByRole('link', { name: 'Log' }).click();
    const card = page.getByRole('article', { name: `${unit.name} of` });
    await expect(card).toContainText('yourself 29, teacher 1');
    await card.getByText('Judged by the teacher: 1').click();
    await expect(card).toContainText(/missed by the teacher \(Ms Tern\); before: \w+ by yourself/);
    await expect(card).toContainText('The thumb came late.');
    await expectAccessible(page);
  } finally {
    await home.close();
  }
});

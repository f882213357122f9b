// Whose a file is: told before it is taken in, and two students of one name told apart on both sides.
import { readFile } from 'node:fs/promises';
import type { Download } from '@playwright/test';
import { composeReport, writeReport } from '../../app/core/exchange/desk/report.ts';
import { writeTaskSheet } from '../../app/core/exchange/desk/task-sheet.ts';
import type { LogEntry } from '../../app/core/model/pass.ts';
import { isoTimeOf } from '../../app/core/base/iso-time.ts';
import { daysAgo, testNow } from '../support/test-time.ts';
import { expectAccessible } from './accessible.ts';
import { expect, test } from './host.ts';
import { chartWith, set, student, entryOn, openFile, students } from './record/harbour-class.ts';
import { handle } from './view/short-climb.ts';

const now = isoTimeOf(testNow());

test('a sheet for somebody else is noticed before it is taken in', async ({ page, host }) => {
  const knownAs = { id: 'ada', name: 'Ada' };
  await handle(host, 'students.save', { student: student('self', 'Ada', { knownAs }) });
  await page.goto(`${host.address}#/today`);
  const sheet = writeTaskSheet({
    written: now,
    teacher: { name: 'Ms Tern' },
    student: { id: 'ben', name: 'Ben' },
    charts: [chartWith('Bb')],
    assignments: set,
    comments: [],
    words: [],
  });
  await openFile(page, 'Open a task sheet', sheet);
  const dialog = page.getByRole('dialog', { name: 'Task sheet' });
  await expect(dialog.getByRole('alert')).toContainText(
    'This sheet is for Ben, and you are Ada here.',
  );
  await expectAccessible(page);
  await dialog.getByRole('button', { name: 'Leave it' }).click();
  await expect(dialog).toBeHidden();
  expect((await students(host)).find(({ id }) => id === 'self')?.assignments).toEqual([]);
});

test('a report of a namesake asks whose it is; of another student it warns', async ({
  page,
  host,
}) => {
  for (const one of [student('ada', 'Ada'), student('ben', 'Ben'), student('ada-2', 'Ada')]) {
    await handle(host, 'students.save', { student: one });
  }
  await page.goto(`${host.address}#/desk`);
  const names = page.getByRole('navigation', { name: /Students/ });
  await expect(names.getByRole('button', { name: /^Ada \(1\)/ })).toBeVisible();
  await expect(names.getByRole('button', { name: /^Ada \(2\)/ })).toBeVisible();
  const entry = entryOn('Bb', 1) as Extract<LogEntry, { kind: 'pass' }>;
  const report = composeReport({
    now,
    student: { id: 'ada-at-home', name: 'Ada' },
    charts: [chartWith('Bb')],
    assignments: [],
    passes: [entry.pass],
    units: { [entry.unit.fingerprint]: entry.unit },
  });
  await openFile(page, 'Open a report', writeReport(report));
  const dialog = page.getByRole('dialog', { name: 'Practice report' });
  await expect(dialog).toContainText('Ada stands here already');
  await dialog.getByLabel('Belongs to').selectOption('Ben');
  await expect(dialog).toContainText('Its passes would stand in the log of Ben.');
  await expect(dialog.getByRole('button', { name: 'Take it in all the same' })).toBeVisible();
  await dialog.getByLabel('Belongs to').selectOption('Ada (2)');
  await dialog.getByRole('button', { name: 'Take it in', exact: true }).click();
  await expect(dialog).toBeHidden();
  await expect(async () =>
    expect(await students(host)).toContainEqual(
      expect.objectContaining({ name: 'Ada', reportsAs: ['ada-at-home'] }),
    ),
  ).toPass();
});

test('the task sheets of several are written with the song; two of one name get two names of files', async ({
  page,
  host,
}) => {
  await handle(host, 'charts.save', { chart: chartWith('Bb') });
  for (const id of ['ada', 'ada-2']) {
    await handle(host, 'students.save', { student: student(id, 'Ada') });
  }
  await page.goto(`${host.address}#/desk/ada`);
  await page.getByRole('button', { name: 'Set for several' }).click();
  const dialog = page.getByRole('dialog', { name: 'Set a song for several' });
  await dialog.getByLabel('Chart').selectOption('Harbour Steps');
  await dialog.getByRole('button', { name: 'Everybody' }).click();
  const files: Download[] = [];
  page.on('download', (file) => files.push(file));
  await dialog.getByRole('button', { name: 'Set it and write the task sheets' }).click();
  await expect(() => expect(files).toHaveLength(2)).toPass();
  expect(files.map((file) => file.suggestedFilename()).toSorted()).toEqual([
    'Ada 1 task sheet.rungsheet',
    'Ada 2 task sheet.rungsheet',
  ]);
  expect(await readFile(await files[0]!.path(), 'utf8')).toContain('Harbour Steps');
});

test('files of two students of one name and one teacher are told apart on both sides', async ({
  page,
  host,
}) => {
  // The student's side: Ada (2) gets the sheet of Ada (1), and hands back a report with her number on it.
  const second = { id: 'ada-2', name: 'Ada' };
  const own = student('self', 'Ada', {
    knownAs: second,
    knownTo: [{ ...second, teacher: 'Ms Tern', number: 2 }],
  });
  await handle(host, 'charts.save', { chart: chartWith('Bb') });
  await handle(host, 'students.save', { student: own });
  await handle(host, 'log.append', { entries: [entryOn('Bb', 1)] });
  await page.goto(`${host.address}#/today`);
  const sheet = writeTaskSheet({
    written: now,
    teacher: { name: 'Ms Tern' },
    student: { id: 'ada', name: 'Ada', number: 1 },
    charts: [chartWith('Bb')],
    assignments: set,
    comments: [],
    words: [],
  });
  await openFile(page, 'Open a task sheet', sheet);
  const sheetDialog = page.getByRole('dialog', { name: 'Task sheet' });
  await expect(sheetDialog.getByRole('alert')).toContainText(
    'This sheet is for Ada (1) on the list of Ms Tern. You are Ada (2) there.',
  );
  await expect(sheetDialog.getByRole('button', { name: 'Take it in all the same' })).toBeVisible();
  await sheetDialog.getByRole('button', { name: 'Leave it' }).click();
  await page.getByRole('button', { name: 'Hand back a report' }).click();
  const download = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Write the report' }).click();
  const file = await download;
  expect(file.suggestedFilename()).toBe('Ada 2 practice report.rungreport');
  const text = await readFile(await file.path(), 'utf8');
  // The teacher's side: it is known as the second one's; the first one's log is no place for it.
  for (const id of ['ada', 'ada-2']) {
    const since = `${daysAgo(id === 'ada' ? 30 : 20)}T10:00:00Z`;
    await handle(host, 'students.save', { student: student(id, 'Ada', { since }) });
  }
  await page.goto(`${host.address.replace(/\?.*/, '')}#/desk`);
  await page.reload();
  await openFile(page, 'Open a report', text);
  const dialog = page.getByRole('dialog', { name: 'Practice report' });
  await expect(dialog).toContainText('From Ada (2), written');
  await dialog.getByLabel('Belongs to').selectOption('Ada (1)');
  await expect(dialog).toContainText(
    'This report is of Ada (2). Its passes would stand in the log of the other Ada.',
  );
  await expect(dialog.getByRole('button', { name: 'Take it in all the same' })).toBeVisible();
  await dialog.getByLabel('Belongs to').selectOption('Ada (2)');
  await expect(dialog).toContainText('new 1 pass');
  await expect(dialog).not.toContainText('0 verdicts');
  await dialog.getByRole('button', { name: 'Take it in', exact: true }).click();
  await expect(page.getByText('The report of Ada (2) was taken in.')).toBeVisible();
});

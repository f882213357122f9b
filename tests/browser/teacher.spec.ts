// The teacher's side: what was practised against what was set, setting in one go, the page before a lesson.
import { readFileSync } from 'node:fs';
import type { Locator } from '@playwright/test';
import { dayNumber } from '../../app/core/log/days.ts';
import type { LogEntry } from '../../app/core/model/pass.ts';
import { revise } from '../../app/core/progress/assignment.ts';
import { expectAccessible } from './accessible.ts';
import { daysAgo } from '../support/test-time.ts';
import { expect, test } from './host.ts';
import { chartWith, verse, set, student, entryOn, students } from './record/harbour-class.ts';
import { handle, openShortClimb } from './view/short-climb.ts';

test('passes on other bars stand apart until the teacher counts them', async ({ page, host }) => {
  await handle(host, 'charts.save', { chart: chartWith('Bb') });
  await handle(host, 'students.save', { student: student('ada', 'Ada', { assignments: set }) });
  const entries = [entryOn('Bb', 5), entryOn('C', 3), entryOn('C', 2), entryOn('C', 1)];
  await handle(host, 'log.append', { desk: 'ada', entries });
  await page.goto(`${host.address}#/desk/ada`);
  await expect(page.getByText('3 passes on other bars: bar 3 was C, you set B♭.')).toBeVisible();
  const lesson = page.getByRole('region', { name: 'Before the lesson' });
  await expect(lesson.getByRole('row', { name: /^Verse/ })).toContainText(
    '+ 3 passes on other bars: bar 3 was C, you set B♭',
  );
  await expect(page.getByText('plays other bars than were set (3 passes)').first()).toBeVisible();
  await expectAccessible(page);
  await page.getByRole('button', { name: /^Count the passes on other bars/ }).click();
  await expect(page.getByText('They count.')).toBeVisible();
  await expect(async () => {
    const [ada] = await students(host);
    expect(ada!.assignments[0]!.otherBars).toMatchObject([
      { fingerprint: verse('C').fingerprint, counts: true },
    ]);
  }).toPass();
  await page.getByRole('button', { name: /^Do not count the passes/ }).click();
  await expect(page.getByText('They do not count for the target.')).toBeVisible();
});

test('the student is told that other bars do not count', async ({ page, host }) => {
  // Nobody has played the bars that were set: an earlier text of the chart has them.
  await handle(host, 'charts.save', { chart: chartWith('Bb') });
  await handle(host, 'charts.save', { chart: chartWith('C') });
  await handle(host, 'students.save', { student: student('self', 'Ada', { assignments: set }) });
  await handle(host, 'log.append', { entries: [entryOn('C', 1)] });
  await page.goto(`${host.address}#/today`);
  const wasSet = page.getByRole('region', { name: 'What was set' });
  await expect(wasSet.getByText(/Your chart has other bars here than were set/)).toContainText(
    '1 pass on other bars does not count for the target until Ms Tern accepts them.',
  );
  await expect(
    page.getByText('other bars here than were set: bar 3 is C here, B♭ was set.'),
  ).toBeVisible();
  // What comes next says so, too, and does not call it unplayed.
  const next = page.getByRole('region', { name: 'Verse Harbour Steps' });
  await expect(next).toContainText('Your chart has other bars here than were set');
  await expect(page.getByText('You have not played it yet.')).toHaveCount(0);
  // The chart put right: what was played stays told.
  await handle(host, 'charts.save', { chart: chartWith('Bb') });
  await page.reload();
  await expect(page.getByText(/accepts them: bar 3 was C, B♭ was set\./)).toBeVisible();
});

test('the student sees what was changed, and that something was taken back', async ({
  page,
  host,
}) => {
  await handle(host, 'charts.save', { chart: chartWith('Bb') });
  const [verseSet] = set;
  const harder = { ...verseSet!.terms, rules: { ...verseSet!.terms.rules, target: 80 } };
  const revised = revise(verseSet!, harder, `${daysAgo(1)}T10:00:00Z`);
  const gone = { ...verseSet!, id: 'gone', withdrawn: `${daysAgo(2)}T10:00:00Z` };
  const own = student('self', 'Ada', { assignments: [revised, gone] });
  await handle(host, 'students.save', { student: own });
  await page.goto(`${host.address}#/today`);
  const news = page.getByRole('region', { name: 'What was changed' }).getByRole('listitem');
  await expect(news).toHaveText([
    /^Verse Harbour Steps: target 90 → 80 Ms Tern/,
    /^Verse Harbour Steps: taken back/,
  ]);
  await expectAccessible(page);
});

test('a song is set for a group in one go, with dates and reasons, and undone as a whole', async ({
  page,
  host,
}) => {
  await handle(host, 'charts.save', { chart: chartWith('Bb') });
  for (const [id, group] of [
    ['ada', 'Tuesday'],
    ['ben', 'Tuesday'],
    ['cleo', 'Evening'],
  ] as const) {
    await handle(host, 'students.save', { student: student(id, `The ${id}`, { group }) });
  }
  await page.goto(`${host.address}#/desk/cleo`);
  await page.getByRole('button', { name: 'Set for several' }).click();
  const dialog = page.getByRole('dialog', { name: 'Set a song for several' });
  await dialog.getByLabel('Chart').selectOption('Harbour Steps');
  await dialog.getByRole('button', { name: 'Tuesday' }).click();
  await expect(dialog.getByText(/The hardest changes come first/)).toBeVisible();
  const due = dialog.getByLabel('Verse is due', { exact: true });
  const inTime = await due.inputValue();
  await due.fill(daysAgo(1));
  await due.blur();
  await expect(dialog.getByRole('alert')).toContainText('has passed already');
  // Also where it was written: the sentence at the end may be out of view.
  await expect(due).toHaveAccessibleDescription(/has passed already/);
  await due.fill(inTime);
  await due.blur();
  await dialog.getByLabel(/A note for all of it/).fill('Slow hands, quick eyes.');
  await expectAccessible(page);
  await dialog.getByRole('button', { name: /^Set \d+ things for 2 students$/ }).click();
  await expect(page.getByText(/things set for 2 students\./)).toBeVisible();
  const given = await students(host);
  const [ada, ben, cleo] = ['ada', 'ben', 'cleo'].map((id) => given.find((one) => one.id === id)!);
  expect(ada!.assignments.map(({ unit }) => unit.ref.kind)).toEqual([
    'hardest',
    'hardest',
    'section',
    'section',
    'join',
    'form',
  ]);
  expect(ben!.assignments).toHaveLength(6);
  expect(cleo!.assignments).toEqual([]);
  const dates = ada!.assignments.map(({ terms }) => terms.due!);
  expect(dates).toEqual(dates.toSorted());
  expect(new Set(dates).size).toBe(4);
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(async () =>
    expect((await students(host)).every(({ assignments }) => assignments.length === 0)).toBe(true),
  ).toPass();
});

test('an own way to spread a song is kept, renamed, used on everybody’s own day, and removed', async ({
  page,
  host,
}) => {
  await handle(host, 'charts.save', { chart: chartWith('Bb') });
  await handle(host, 'students.save', { student: student('ada', 'Ada', { lessonDay: 4 }) });
  await page.goto(`${host.address}#/desk/ada`);
  await page.getByRole('button', { name: 'Set for several' }).click();
  const dialog = page.getByRole('dialog', { name: 'Set a song for several' });
  await dialog.getByLabel('Chart').selectOption('Harbour Steps');
  await dialog.getByText('Change how it is spread').click();
  const share = dialog.getByLabel('Sections: share of the tempo', { exact: true });
  await share.fill('60');
  await dialog.getByLabel('Sections: due in how many lessons', { exact: true }).fill('5');
  await dialog.getByLabel('Name of your own way').fill('A riff in a week');
  await dialog.getByRole('button', { name: 'Keep as my own' }).click();
  const spread = dialog.getByLabel('How it is spread');
  await expect(spread.locator('option:checked')).toHaveText('A riff in a week');
  await dialog.getByLabel('Name of your own way').fill('Slow and steady');
  await dialog.getByRole('button', { name: 'Keep the changes' }).click();
  await expect(spread.locator('option:checked')).toHaveText('Slow and steady');
  await expectAccessible(page);
  const templates = async () =>
    (await students(host)).find(({ id }) => id === 'self')?.templates ?? [];
  await expect(async () =>
    expect(await templates()).toMatchObject([
      { name: 'Slow and steady', weeks: { section: 5 }, percent: { section: 60 } },
    ]),
  ).toPass();
  await expect(dialog.getByLabel('Verse: share of its tempo', { exact: true })).toHaveValue('60');
  await dialog.getByLabel('Chorus: share of its tempo', { exact: true }).fill('70');
  await dialog.getByRole('button', { name: 'Note for Verse', exact: true }).click();
  await dialog.getByRole('textbox', { name: 'Note for Verse', exact: true }).fill('Thumb low.');
  await dialog.getByRole('button', { name: /^Set \d+ things for 1 student$/ }).click();
  await expect(page.getByText(/things set for 1 student\./)).toBeVisible();
  const ada = (await students(host)).find(({ id }) => id === 'ada')!;
  const of = (name: string) => ada.assignments.find(({ unit }) => unit.name === name)!.terms;
  expect([of('Verse').rules.target, of('Chorus').rules.target]).toEqual([54, 63]);
  expect(of('Verse').note).toBe('Thumb low.');
  // 1970-01-01, day 0, was a Thursday.
  expect(dayNumber(of('Verse').due!) % 7).toBe(0);
  await page.getByRole('button', { name: 'Set for several' }).click();
  await dialog.getByLabel('How it is spread').selectOption('Slow and steady');
  await dialog.getByText('Change how it is spread').click();
  await dialog.getByRole('button', { name: 'Remove it' }).click();
  await expect(spread.locator('option:checked')).toHaveText('A new song in four weeks');
  await expect.poll(templates).toEqual([]);
});

test('what is set is changed and taken back for several at once, and undone', async ({
  page,
  host,
}) => {
  await handle(host, 'charts.save', { chart: chartWith('Bb') });
  for (const id of ['ada', 'ben', 'cleo']) {
    const assignments = id === 'cleo' ? [] : set.map((one) => ({ ...one, id: `set-${id}` }));
    await handle(host, 'students.save', { student: student(id, `The ${id}`, { assignments }) });
  }
  await page.goto(`${host.address}#/desk/ada`);
  const targets = async () =>
    (await students(host)).flatMap(({ assignments }) =>
      assignments.map(({ terms, withdrawn }) => withdrawn ?? terms.rules.target),
    );
  await page.getByRole('button', { name: 'Change for several' }).click();
  const dialog = page.getByRole('dialog', { name: 'Change what is set for several' });
  await expect(dialog.getByLabel('What', { exact: true }).locator('option:checked')).toHaveText(
    'Verse (2 students)',
  );
  await expect(dialog.getByRole('checkbox')).toHaveCount(2);
  await dialog.getByLabel('Target').selectOption('A share of the finished tempo');
  await dialog.getByLabel('Of each part’s own tempo', { exact: true }).fill('70');
  await dialog.getByLabel('Date').selectOption('A new date');
  await dialog.getByLabel('New date').fill(daysAgo(1));
  await expect(dialog.getByText(/has passed already/)).toBeVisible();
  const change = dialog.getByRole('button', { name: 'Change it for 2 students' });
  await expect(change).toBeDisabled();
  await dialog.getByLabel('New date').fill(daysAgo(-7));
  await expect(dialog.getByText(/Verse: target 90 → 63, due no date →/)).toHaveCount(2);
  await expectAccessible(page);
  await change.click();
  const remark = page.getByText('2 things changed for 2 students.');
  await expect(remark).toBeVisible();
  await expect.poll(targets).toEqual([63, 63]);
  // A remark stands below the page and covers no form.
  const [page_, bar] = await Promise.all([
    page.getByRole('main').boundingBox(),
    remark.boundingBox(),
  ]);
  expect(bar!.y).toBeGreaterThanOrEqual(page_!.y + page_!.height);
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect.poll(targets).toEqual([90, 90]);
  await page.getByRole('button', { name: 'Change for several' }).click();
  await dialog.getByRole('checkbox', { name: 'The ben' }).uncheck();
  await dialog.getByRole('button', { name: 'Take it back for 1 student' }).click();
  await expect.poll(targets).toEqual([expect.stringMatching(/^\d{4}-/), 90]);
});

test('the page before a lesson, one sheet of paper, and what is agreed is set by a press', async ({
  page,
  host,
}) => {
  await handle(host, 'charts.save', { chart: chartWith('Bb') });
  const asked = {
    id: 'q1',
    at: `${daysAgo(1)}T18:00:00Z`,
    by: 'Ada',
    text: 'Which finger goes first?',
    question: true,
  } as const;
  const lessons = Array.from({ length: 30 }, (_, i) => ({
    id: `lesson-${i}`,
    on: daysAgo(9 + 7 * i),
    text: `Lesson ${i}: looked at the left hand.`,
    agreed: [],
  }));
  const ada = student('ada', 'Ada', { assignments: set, comments: [asked], lessons });
  await handle(host, 'students.save', { student: ada });
  const entries = Array.from({ length: 12 }, (_, i) => {
    const entry = entryOn('Bb', 6 - Math.floor(i / 2)) as Extract<LogEntry, { kind: 'pass' }>;
    const broke = { bar: 1, change: 0, from: 'G', to: 'D', by: 'self' } as const;
    const missed = i % 2 === 0 ? {} : { verdict: 'missed' as const, broke };
    return { ...entry, pass: { ...entry.pass, id: `p${i}`, ...missed } };
  });
  await handle(host, 'log.append', { desk: 'ada', entries });
  await page.goto(`${host.address}#/desk/ada`);
  const panel = page.getByRole('region', { name: 'Before the lesson' });
  await expect(panel.getByRole('row', { name: /^Verse Harbour Steps/ })).toContainText('12, 50 %');
  await expect(panel).toContainText('G to D in Verse: 6 times of 12: 6 by the student');
  await expect(panel).toContainText('Which finger goes first?');
  await expectAccessible(page);
  await page.emulateMedia({ media: 'print', colorScheme: 'dark' });
  const ink = (e: Element) => getComputedStyle(e).color;
  expect(await panel.getByRole('heading').first().evaluate(ink)).toBe('rgb(0, 0, 0)');
  const pdf = await page.pdf({ preferCSSPageSize: true });
  expect(Number(/\/Count (\d+)/.exec(pdf.toString('latin1'))![1])).toBe(1);
  await expect(page.getByRole('navigation').first()).toBeHidden();
  await expect(page.getByRole('button', { name: 'Agree: Drill G to D' })).toBeHidden();
  await page.emulateMedia({ media: 'screen' });
  await panel.getByRole('button', { name: 'Answer: Which finger goes first?' }).click();
  await panel.getByLabel('Your answer').fill('The second one.');
  await panel.getByRole('button', { name: 'Keep the answer' }).click();
  await expect(panel.getByText('None is open.')).toBeVisible();
  // What was pressed is gone; the keyboard is at the title over it.
  await expect(panel.getByRole('heading', { name: 'Questions' })).toBeFocused();
  await expect(page.getByText('‘Which finger goes first?’ The second one.')).toBeVisible();
  await panel.getByRole('button', { name: /^Agree: Drill G to D/ }).click();
  await expect(page.getByText(/Agreed and set: Drill G to D/)).toBeVisible();
  await expect(panel.getByRole('heading', { name: 'What could come next' })).toBeFocused();
  await panel.getByLabel('Note of today, for you alone').fill('Light hands.');
  await panel.getByLabel('Note of today, for you alone').blur();
  await expect(panel.getByText('Light hands.').last()).toBeVisible();
  await expect(async () => {
    const [now] = await students(host);
    expect(now!.assignments.map(({ unit }) => unit.ref.kind)).toEqual(['section', 'pair']);
    expect(now!.lessons).toHaveLength(31);
    expect(now!.lessons!.find(({ on }) => on === daysAgo(0))).toMatchObject({
      text: 'Light hands.',
      agreed: [expect.stringContaining('Drill G to D')],
    });
  }).toPass();
  // Undone later, it takes back what was agreed and nothing else.
  await page.getByRole('button', { name: 'Undo' }).click();
  await expect(async () => {
    const [now] = await students(host);
    expect(now!.assignments.map(({ unit }) => unit.ref.kind)).toEqual(['section']);
    expect(now!.answered).toEqual(['q1']);
    expect(now!.lessons!.find(({ on }) => on === daysAgo(0))).toMatchObject({
      text: 'Light hands.',
      agreed: [],
    });
  }).toPass();
  await page.getByRole('button', { name: 'Take back Verse' }).click();
  await expect(page.getByRole('heading', { name: 'Ada', exact: true })).toBeFocused();
  await page.getByRole('button', { name: 'Take off' }).click();
  await expect(page.getByRole('heading', { level: 1, name: 'Teacher' })).toBeFocused();
});

test('all students stand in one table, who needs help first', async ({ page, host }) => {
  for (const [id, name, assignments] of [
    ['ada', 'Ada', []],
    ['ben', 'Ben', set],
  ] as const) {
    await handle(host, 'students.save', { student: student(id, name, { assignments }) });
  }
  await page.goto(`${host.address}#/desk/ada`);
  await page.getByRole('button', { name: 'All in one table' }).click();
  const rows = page.getByRole('region', { name: 'All students' }).getByRole('row');
  await expect(rows.nth(1)).toContainText(/Ben.*Verse: not begun/);
  await page.getByRole('button', { name: 'Student', exact: true }).click();
  await expect(rows.nth(1)).toContainText(/Ada.*nothing set yet/);
  await expectAccessible(page);
  await rows.nth(2).getByRole('button', { name: 'Ben' }).click();
  await expect(page.getByRole('region', { name: 'Before the lesson' })).toBeVisible();
});

test('whoever is opened is read from the beginning, and the keyboard goes along', async ({
  page,
  host,
}) => {
  await page.setViewportSize({ width: 1024, height: 700 });
  for (let i = 0; i < 30; i++) {
    const name = `Student ${String(i).padStart(2, '0')}`;
    await handle(host, 'students.save', { student: student(`st-${i}`, name) });
  }
  await page.goto(`${host.address}#/desk/st-0`);
  const before = (name: string) =>
    page.getByRole('heading', { name: `${name}, before the lesson` });
  await expect(before('Student 00')).toBeVisible();
  const list = page.getByRole('navigation', { name: /^Students, who needs/ });
  const last = list.getByRole('button', { name: /^Student 29/ });
  await last.click();
  await expect(before('Student 29')).toBeInViewport();
  // The list stays where it is, with what was pressed.
  await expect(last).toBeInViewport();
  await expect(last).toBeFocused();
  await page.getByRole('button', { name: 'All in one table' }).click();
  await expect(page.getByRole('heading', { name: 'All students' })).toBeFocused();
  await page.getByRole('row').nth(29).getByRole('button').click();
  await expect(before('Student 28')).toBeFocused();
  await expect(before('Student 28')).toBeInViewport();
});

test('three things are set for eight students in eight presses', async ({ page, host }) => {
  await handle(host, 'charts.save', { chart: chartWith('Bb') });
  for (let i = 0; i < 10; i++) {
    const more = { group: i < 8 ? 'Tuesday' : 'Evening', lessonDay: 1 + (i % 5) };
    await handle(host, 'students.save', { student: student(`st-${i}`, `Student ${i}`, more) });
  }
  await page.goto(`${host.address}#/desk/st-0`);
  let presses = 0;
  const press = async (what: Locator) => {
    presses++;
    await what.click();
  };
  await press(page.getByRole('button', { name: 'Set for several' }));
  const dialog = page.getByRole('dialog', { name: 'Set a song for several' });
  presses++;
  await dialog.getByLabel('Chart').selectOption('Harbour Steps');
  await press(dialog.getByRole('button', { name: 'Tuesday' }));
  await press(dialog.getByRole('button', { name: 'Nothing', exact: true }));
  await expect(dialog.getByRole('button', { name: /^Set 0 things/ })).toBeDisabled();
  for (const name of ['Verse', 'Chorus', 'The whole song']) {
    await press(dialog.getByRole('checkbox', { name, exact: true }));
  }
  await press(dialog.getByRole('button', { name: 'Set 3 things for 8 students' }));
  await expect(page.getByText('24 things set for 8 students.')).toBeVisible();
  expect(presses).toBe(8);
  const set = (await students(host)).map(({ assignments }) => assignments.length);
  expect(set.filter((count) => count === 3)).toHaveLength(8);
});

test('without students there is no empty table, and names from right to left keep their numbers', async ({
  page,
  host,
}) => {
  await page.goto(`${host.address}#/desk/all`);
  await expect(page.getByRole('heading', { name: 'No student yet' })).toBeVisible();
  await expect(page.getByRole('heading', { name: 'All students' })).toHaveCount(0);
  for (const id of ['one', 'two']) {
    await handle(host, 'students.save', { student: student(id, 'ליאור') });
  }
  await page.reload();
  const table = page.getByRole('region', { name: 'All students' });
  await expect(table.getByRole('row')).toHaveCount(3);
  const second = table.getByRole('button', { name: /\(2\)$/ });
  // The number stands at the right of the name, as it does with other names.
  const [name, number] = await second.evaluate((button) => {
    const text = document.createTreeWalker(button, NodeFilter.SHOW_TEXT).nextNode()!;
    const rightOf = (part: string): number => {
      const range = document.createRange();
      const from = text.textContent!.indexOf(part);
      range.setStart(text, from);
      range.setEnd(text, from + part.length);
      return range.getBoundingClientRect().right;
    };
    return [rightOf('ליאור'), rightOf('(2)')];
  });
  expect(number).toBeGreaterThan(name!);
  const saved = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Save all as CSV' }).click();
  const csv = readFileSync(await (await saved).path(), 'utf8');
  expect(csv).toContain('ליאור (2)');
});

test('a note that names a bar stands at that bar on the stage, the rest of it in the head', async ({
  page,
  host,
}) => {
  const [given] = set;
  const note = 'Lightly, from the wrist.\nBar 3: thumb low';
  const assignments = [{ ...given!, terms: { ...given!.terms, note } }];
  await handle(host, 'students.save', { student: student('self', 'Ada', { assignments }) });
  await openShortClimb(page, host, {
    chart: chartWith('Bb'),
    ladder: { unit: given!.unit.key },
  });
  await page.getByRole('button', { name: 'Climb', exact: true }).click();
  const stage = page.getByRole('region', { name: 'Stage' });
  await expect(stage.getByText('Lightly, from the wrist.', { exact: true })).toBeVisible();
  const bars = stage.getByRole('list', { name: /^Bars 1 to/ }).getByRole('listitem');
  await expect(bars.nth(2)).toContainText('thumb low');
  await expect(bars.nth(1)).not.toContainText('thumb low');
});

// Teacher → two students → teacher, by real browser hosts and folders that are carried late, twice and out of order.
import fs from 'node:fs';
import path from 'node:path';
import { expect, it } from 'vitest';
import { eachInAWorld } from '../../../support/machines/each-in-a-world.ts';
import type { TalkingHost } from '../../../support/machines/host.ts';
import {
  AT,
  chart,
  played,
  sheetOf,
  student,
  takeSheet,
} from '../../../support/machines/lesson.ts';
import { labelsOf } from '../../../../app/core/progress/whose.ts';
import { carry, SURE } from '../../../support/machines/own-machines.ts';

const all = eachInAWorld(3);
const start = (name: string, at = AT): Promise<TalkingHost> => all.host(name, at);

it('goes round without a press on the teacher’s side, and mixes nobody up', async () => {
  const teacher = await start('teacher');
  // Both clocks are wrong.
  const ada = await start('ada', '1999-01-01T00:00:00Z');
  const ben = await start('ben', '2044-01-01T00:00:00Z');
  const list = [student('id-ada', 'Ada'), student('id-ben', 'Ben')];
  await teacher.done('charts.save', { chart });
  for (const one of list) await teacher.done('students.save', { student: one });
  await teacher.done('shared.parted', { apart: true });
  for (const one of list)
    await teacher.done('shared.post', {
      ...{ kind: 'sheet', student: one.id, name: `${one.name}.rungsheet`, text: sheetOf(one) },
    });

  // The syncing service shares each student a folder of their own.
  const pupils = [
    [ada, 'Ada', 'id-ada'],
    [ben, 'Ben', 'id-ben'],
  ] as const;
  for (const [host, name, id] of pupils) {
    carry(path.join(teacher.folder, name), host.folder, SURE, all.world.random);
    await takeSheet(host);
    await host.done('shared.reports', { to: id });
  }
  expect(fs.readdirSync(ada.folder)).toEqual(['rungwise-shared']);

  // They practise on several days; what is new is written by itself.
  for (const day of [1, 2, 3, 4])
    for (const [host, name] of pupils) {
      await host.call('log.append', { entries: [1, 2].map((n) => played(`${name}-${day}-${n}`)) });
      await host.call('shared.sync', {});
    }

  // It comes late, in part, twice and in any order; now and then the teacher's program looks.
  const torn = { share: 0.5, partial: 0.5, twice: 0.5 };
  for (let round = 0; round < 12; round++) {
    for (const [host, name] of pupils)
      carry(host.folder, path.join(teacher.folder, name), torn, all.world.random);
    await teacher.call('shared.sync', {});
  }
  for (const [host, name] of pupils)
    carry(host.folder, path.join(teacher.folder, name), SURE, all.world.random);
  await teacher.call('shared.sync', {});
  await teacher.call('shared.sync', {});

  for (const [, name, id] of pupils) {
    const { passes } = await teacher.call('log.passes', { desk: id });
    expect(passes.map((pass) => pass.id).toSorted()).toEqual(
      [1, 2, 3, 4].flatMap((day) => [1, 2].map((n) => `${name}-${day}-${n}`)),
    );
  }
  const { waiting, flawed } = await teacher.call('shared.read', {});
  expect([waiting, flawed]).toEqual([[], undefined]);
  expect((await teacher.call('log.passes', {})).passes).toEqual([]);

  // One who is taken off leaves nothing of the teacher's in the folder, and is not taken in any more.
  await teacher.done('students.remove', { id: 'id-ben' });
  await teacher.done('shared.forget', { student: 'id-ben' });
  await ben.call('log.append', { entries: [played('Ben-5-1')] });
  await ben.call('shared.sync', {});
  carry(ben.folder, path.join(teacher.folder, 'Ben'), SURE, all.world.random);
  await teacher.call('shared.sync', {});
  expect((await teacher.call('shared.read', {})).waiting).toMatchObject([{ kind: 'report' }]);
});

it('tells two students of one name apart in every folder, file and log', async () => {
  const teacher = await start('teacher');
  const [one, other] = [await start('one'), await start('other')];
  // The one who came first has the later id.
  const list = [
    { ...student('id-2', 'Ada'), since: '2031-03-01T10:00:00Z' },
    { ...student('id-1', 'Ada'), since: '2031-04-01T10:00:00Z' },
  ];
  await teacher.done('charts.save', { chart });
  for (const each of list) await teacher.done('students.save', { student: each });
  // Asked for in the other order.
  await teacher.done('shared.parted', { apart: true });
  const labels = labelsOf(list);
  expect([labels.get('id-2'), labels.get('id-1')]).toEqual(['Ada (1)', 'Ada (2)']);
  for (const each of list.toReversed()) {
    const name = `${labels.get(each.id)!} task sheet.rungsheet`;
    const sheet = { kind: 'sheet', student: each.id, name, text: sheetOf(each) } as const;
    await teacher.done('shared.post', sheet);
  }
  expect(fs.readdirSync(teacher.folder).filter((name) => name !== 'rungwise-shared')).toEqual([
    ...['Ada (1)', 'Ada (2)'],
  ]);
  const { written, folders } = await teacher.call('shared.read', {});
  expect(new Set(written.map((file) => ('name' in file ? file.name : '')))).toEqual(
    new Set(['Ada (1) task sheet.rungsheet', 'Ada (2) task sheet.rungsheet']),
  );
  expect(folders!.map(({ student: id, name }) => [id, name]).sort()).toEqual([
    ...[
      ['id-1', 'Ada (2)'],
      ['id-2', 'Ada (1)'],
    ],
  ]);

  const pupils = [
    [one, 'Ada (1)', 'id-2'],
    [other, 'Ada (2)', 'id-1'],
  ] as const;
  for (const [host, label, id] of pupils) {
    carry(path.join(teacher.folder, label), host.folder, SURE, all.world.random);
    await takeSheet(host);
    await host.done('shared.reports', { to: id });
    await host.call('log.append', { entries: [played(`pass-${id}`)] });
    await host.call('shared.sync', {});
    carry(host.folder, path.join(teacher.folder, label), SURE, all.world.random);
  }
  const { reports } = await teacher.call('shared.sync', {});
  expect(reports.map((report) => report.student).sort()).toEqual(['id-1', 'id-2']);
  for (const [, , id] of pupils) {
    const { passes } = await teacher.call('log.passes', { desk: id });
    expect(passes.map((pass) => pass.id)).toEqual([`pass-${id}`]);
  }

  // Where reports are looked at first, each waits by whose it is.
  await teacher.call('shared.looksFirst', { on: true });
  for (const [host, label, id] of pupils) {
    await host.call('log.append', { entries: [played(`later-${id}`)] });
    await host.call('shared.sync', {});
    carry(host.folder, path.join(teacher.folder, label), SURE, all.world.random);
  }
  await teacher.call('shared.sync', {});
  const { waiting } = await teacher.call('shared.read', {});
  expect(waiting.map((report) => report.student).sort()).toEqual(['id-1', 'id-2']);
});

it('gathers many reports and old sheets into few, and the teacher misses nothing', async () => {
  const teacher = await start('teacher');
  const ada = await start('ada');
  const list = student('id-ada', 'Ada');
  await teacher.done('students.save', { student: list });
  const own = { ...student('self', 'Ada'), knownTo: [{ id: 'id-ada', name: 'Ada', teacher: 'T' }] };
  await ada.done('students.save', { student: own });
  await ada.done('shared.reports', { to: 'id-ada' });
  for (let n = 1; n <= 30; n++) {
    await ada.call('log.append', { entries: [played(`p-${n}`)] });
    await ada.call('shared.sync', {});
    // The teacher looks now and then; some come before they are gathered, some after.
    if (n % 7 !== 0) continue;
    carry(ada.folder, teacher.folder, SURE, all.world.random);
    await teacher.call('shared.sync', {});
  }
  const { written, writers } = await ada.call('shared.read', {});
  expect(written.length).toBeLessThan(12);
  expect(writers.every(({ missing }) => missing.length === 0)).toBe(true);
  carry(ada.folder, teacher.folder, SURE, all.world.random);
  await teacher.call('shared.sync', {});
  const { passes } = await teacher.call('log.passes', { desk: 'id-ada' });
  expect(passes).toHaveLength(30);

  const sheet = { kind: 'sheet', student: 'id-ada', name: 'Ada.rungsheet' } as const;
  for (let n = 1; n <= 20; n++)
    await teacher.done('shared.post', { ...sheet, text: `${sheetOf(list)}${' '.repeat(n)}` });
  expect((await teacher.call('shared.read', {})).written.length).toBeLessThan(10);
  carry(teacher.folder, ada.folder, SURE, all.world.random);
  const { waiting } = await ada.call('shared.read', {});
  expect(waiting).toHaveLength(1);
  expect(await ada.done('shared.open', { id: waiting[0]!.id })).toMatch(/ {20}$/);
});

it('sends a question without a pass, a verdict that was taken back, and nothing twice', async () => {
  const teacher = await start('teacher');
  const ada = await start('ada');
  await teacher.done('students.save', { student: student('id-ada', 'Ada') });
  const own = { ...student('self', 'Ada'), knownTo: [{ id: 'id-ada', name: 'Ada', teacher: 'T' }] };
  await ada.done('students.save', { student: own });
  expect(await ada.call('shared.reports', { to: 'nobody' })).toMatchObject({ ok: false });
  await ada.call('log.append', { entries: [played('p-1')] });
  await ada.call('shared.sync', {});
  expect((await ada.call('shared.read', {})).written).toEqual([]);
  await ada.done('shared.reports', { to: 'id-ada' });
  const files = async () => {
    await ada.call('shared.sync', {});
    carry(ada.folder, teacher.folder, SURE, all.world.random);
    await teacher.call('shared.sync', {});
    return (await ada.call('shared.read', {})).written.length;
  };
  expect(await files()).toBe(1);
  expect(await files()).toBe(1);
  const question = { id: 'q-1', at: AT, by: 'Ada', text: 'Which finger?', question: true as const };
  await ada.done('students.save', { student: { ...own, comments: [question] } });
  const undone = {
    amends: 'p-1',
    at: '2031-04-09T10:00:00Z',
    verdict: 'missed',
    source: 'self',
  } as const;
  await ada.call('log.append', { entries: [{ kind: 'amendment', amendment: undone }] });
  expect(await files()).toBe(2);
  const { students } = await teacher.call('students.list', {});
  expect(students[0]!.comments).toMatchObject([{ text: 'Which finger?' }]);
  // Both reports say that they were written at the same moment: which is the later one is not told by a clock.
  const { passes } = await teacher.call('log.passes', { desk: 'id-ada' });
  expect(passes).toMatchObject([{ id: 'p-1', verdict: 'missed' }]);
});

it('keeps two teachers in one folder apart', async () => {
  const [tern, wren] = [await start('tern'), await start('wren')];
  const [ada, ben] = [await start('ada'), await start('ben')];
  const list = [
    [tern, student('id-ada', 'Ada')],
    [tern, student('id-ben', 'Ben')],
    [wren, student('id-other', 'Ada')],
  ] as const;
  for (const [host, one] of list) {
    await host.done('charts.save', { chart });
    await host.done('students.save', { student: one });
    const name = `${one.name} task sheet.rungsheet`;
    await host.done('shared.post', { kind: 'sheet', student: one.id, name, text: sheetOf(one) });
  }
  const everybody = [tern, wren, ada, ben];
  const go = (): void => {
    for (const from of everybody)
      for (const to of everybody) carry(from.folder, to.folder, SURE, all.world.random);
  };
  const waitingOn = async (host: TalkingHost) =>
    (await host.call('shared.read', {})).waiting.map((one) =>
      [one.kind, one.student, ...(one.newTeacher ? ['new'] : [])].join(' '),
    );
  go();
  expect((await waitingOn(ada)).toSorted()).toEqual([
    ...['sheet id-ada new', 'sheet id-ben new', 'sheet id-other new'],
  ]);
  // She takes in the first teacher’s: his other sheets are somebody else’s, the second teacher’s may be hers.
  const desk = { id: 'self', name: 'Ada', since: AT, assignments: [], comments: [] };
  await ada.done('students.save', {
    student: { ...desk, knownTo: [{ id: 'id-ada', name: 'Ada', teacher: 'Mr Tern' }] },
  });
  expect((await waitingOn(ada)).toSorted()).toEqual([
    ...['sheet id-ada', 'sheet id-ben', 'sheet id-other new'],
  ]);
  // A report for one teacher is not offered to the other; one for nobody’s list is offered to both.
  await tern.call('shared.looksFirst', { on: true });
  const report = { kind: 'report', name: 'A.rungreport', text: '{}' } as const;
  for (const id of ['id-ada', 'nobody']) await ada.done('shared.post', { ...report, student: id });
  go();
  const reportsOn = async (host: TalkingHost) =>
    (await waitingOn(host)).filter((one) => one.startsWith('report')).toSorted();
  expect(await reportsOn(tern)).toEqual(['report id-ada', 'report nobody']);
  expect(await reportsOn(wren)).toEqual(['report nobody']);
});

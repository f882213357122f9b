// A task sheet or a report whose file is destroyed for everybody comes again from who wrote it, once and by itself.
import fs from 'node:fs';
import path from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { expect, it } from 'vitest';
import { eachInAWorld } from '../../../support/machines/each-in-a-world.ts';
import {
  AT,
  chart,
  played,
  sheetOf,
  student,
  takeSheet,
} from '../../../support/machines/lesson.ts';
import { carry, destroy, type Machine, SURE } from '../../../support/machines/own-machines.ts';

const all = eachInAWorld(7);

/** One that has chosen its folder. @param own looks after which its files count as lost */
async function machine(name: string, own = 2): Promise<Machine> {
  const made = all.machine(name, AT, { own, others: 4 });
  await made.done('shared.choose', { folder: made.folder });
  return made;
}

const ada = student('id-ada', 'Ada');
const posting = (text: string) =>
  ({ kind: 'sheet', student: 'id-ada', name: 'Ada.rungsheet', text }) as const;

async function teacherOf(own?: number): Promise<Machine> {
  const teacher = await machine('teacher', own);
  await teacher.done('charts.save', { chart });
  await teacher.done('students.save', { student: ada });
  return teacher;
}

const looks = async (one: Machine, count: number): Promise<void> => {
  for (let i = 0; i < count; i++) await one.call('shared.sync', {});
};
const loseAll = (...machines: readonly Machine[]): unknown =>
  destroy([all.world.hub, ...machines.map(({ folder }) => folder)], 1, () => 0);
const sheetsIn = async (one: Machine): Promise<readonly string[]> =>
  (await one.call('shared.read', {})).written.flatMap((file) =>
    'name' in file ? [file.name] : [],
  );
const missingIn = async (one: Machine): Promise<readonly number[]> =>
  (await one.call('shared.read', {})).writers.flatMap(({ missing }) => missing);

it('posts a lost sheet again, the newest alone, and offers nobody twice what was taken in', async () => {
  const teacher = await teacherOf();
  const [pupil, late] = [await machine('pupil'), await machine('late')];
  await teacher.done('shared.post', posting('an earlier one'));
  await teacher.done('shared.post', posting(sheetOf(ada)));
  carry(teacher.folder, pupil.folder, SURE, all.world.random);
  await takeSheet(pupil);
  loseAll(teacher, pupil);
  expect(await sheetsIn(teacher)).toEqual([]);
  await looks(teacher, 1);
  // It may only be late.
  expect(await sheetsIn(teacher)).toEqual([]);
  await looks(teacher, 4);
  expect(await sheetsIn(teacher)).toEqual(['Ada.rungsheet']);
  for (const one of [pupil, late]) carry(teacher.folder, one.folder, SURE, all.world.random);
  expect((await pupil.call('shared.read', {})).waiting).toEqual([]);
  await takeSheet(late);
  const { students } = await late.call('students.list', {});
  expect(students[0]!.assignments).toHaveLength(1);
  await looks(teacher, 4);
  expect([await sheetsIn(teacher), await missingIn(late)]).toEqual([['Ada.rungsheet'], []]);
});

it('lets nobody wait for one in the middle, also in the folder of a student', async () => {
  const teacher = await teacherOf();
  await teacher.done('shared.parted', { apart: true });
  for (const text of ['first', 'second', sheetOf(ada)])
    await teacher.done('shared.post', posting(text));
  const places = path.join(teacher.folder, 'Ada', 'rungwise-shared');
  const [writer] = fs.readdirSync(places);
  const second = fs.readdirSync(path.join(places, writer!)).find((name) => name.includes('02-'))!;
  fs.rmSync(path.join(places, writer!, second));
  const pupil = await machine('pupil');
  const fromHers = (): void =>
    carry(path.join(teacher.folder, 'Ada'), pupil.folder, SURE, all.world.random);
  fromHers();
  expect(await missingIn(pupil)).toEqual([2]);
  await looks(teacher, 3);
  fromHers();
  expect(await missingIn(pupil)).toEqual([]);
  await takeSheet(pupil);
});

it('tells a report anew from the log; the teacher takes in each pass once', async () => {
  const teacher = await teacherOf();
  const pupil = await machine('pupil');
  await teacher.done('shared.post', posting(sheetOf(ada)));
  carry(teacher.folder, pupil.folder, SURE, all.world.random);
  await takeSheet(pupil);
  await pupil.done('shared.reports', { to: 'id-ada' });
  for (const id of ['p-1', 'p-2', 'p-3']) {
    await pupil.call('log.append', { entries: [played(id)] });
    await looks(pupil, 1);
    // The second alone has come to the teacher.
    if (id === 'p-2') carry(pupil.folder, teacher.folder, SURE, all.world.random);
  }
  await looks(teacher, 1);
  loseAll(teacher, pupil);
  await looks(pupil, 6);
  carry(pupil.folder, teacher.folder, SURE, all.world.random);
  await looks(teacher, 1);
  const { passes } = await teacher.call('log.passes', { desk: 'id-ada' });
  expect(passes.map(({ id }) => id).toSorted()).toEqual(['p-1', 'p-2', 'p-3']);
  expect((await teacher.call('shared.read', {})).waiting).toEqual([]);
  expect(await missingIn(teacher)).toEqual([]);
  const count = (await sheetsIn(pupil)).length;
  await looks(pupil, 6);
  expect((await sheetsIn(pupil)).length).toBe(count);
});

it('posts nothing again that was taken out, nor anything in another folder', async () => {
  const teacher = await teacherOf();
  await teacher.done('shared.post', posting(sheetOf(ada)));
  await teacher.done('students.remove', { id: 'id-ada' });
  await teacher.done('shared.forget', { student: 'id-ada' });
  await looks(teacher, 1);
  loseAll(teacher);
  await looks(teacher, 6);
  expect(await sheetsIn(teacher)).toEqual([]);

  // Nor in the folder of a student who was taken off, which goes with what was in it.
  await teacher.done('students.restore', { id: 'id-ada' });
  await teacher.done('shared.parted', { apart: true });
  await teacher.done('shared.post', posting(sheetOf(ada)));
  await teacher.done('students.remove', { id: 'id-ada' });
  await teacher.done('shared.forget', { student: 'id-ada' });
  await looks(teacher, 6);
  expect(fs.readdirSync(teacher.folder)).toEqual(['rungwise-shared']);

  await teacher.done('shared.parted', { apart: false });
  await teacher.done('students.restore', { id: 'id-ada' });
  await teacher.done('shared.post', posting(sheetOf(ada)));
  const other = path.join(all.world.root, 'other');
  fs.mkdirSync(other);
  await teacher.done('shared.choose', { folder: other });
  await looks(teacher, 6);
  expect(await sheetsIn(teacher)).toEqual([]);
});

/** Changes what is kept of what was posted, as a fault of the disk does. */
function spoil(one: Machine, how: (text: string) => string): void {
  one.close();
  const database = new DatabaseSync(path.join(one.data, 'own-machines.sqlite'));
  const rows = database.prepare('select writer, number, parcel from posted').all();
  const set = database.prepare('update posted set parcel = ? where writer = ? and number = ?');
  for (const { writer, number, parcel } of rows)
    if (parcel !== null) set.run(how(parcel as string), writer!, number!);
  database.close();
  one.restart();
}
const problemsOf = async (one: Machine): Promise<readonly string[]> =>
  (await one.call('host.info', {})).problems.map(({ code }) => code);

it.each([
  ['is no JSON any more', (text: string) => text.slice(0, -9)],
  ['has another letter', (text: string) => text.replace('Ada.rungsheet', 'Ade.rungsheet')],
  ['is something else', () => '{"kind":"sheet"}'],
  ['is nothing that could be read', () => '[]'],
])('says so where what was kept of a lost sheet %s, and goes on', async (_, how) => {
  const teacher = await teacherOf();
  await teacher.done('shared.post', posting(sheetOf(ada)));
  spoil(teacher, how);
  loseAll(teacher);
  await looks(teacher, 6);
  expect(await problemsOf(teacher)).toEqual(['sheet-spoilt id-ada']);
  expect([await sheetsIn(teacher), await missingIn(teacher)]).toEqual([[], []]);
  // Handed out again it is there, and comes again where it is lost.
  await teacher.done('shared.post', posting(sheetOf(ada)));
  expect(await problemsOf(teacher)).toEqual([]);
  loseAll(teacher);
  await looks(teacher, 6);
  expect(await sheetsIn(teacher)).toEqual(['Ada.rungsheet']);
});

it('makes a report anew from the log where what was kept of it is damaged', async () => {
  const teacher = await teacherOf();
  const pupil = await machine('pupil');
  await teacher.done('shared.post', posting(sheetOf(ada)));
  carry(teacher.folder, pupil.folder, SURE, all.world.random);
  await takeSheet(pupil);
  await pupil.done('shared.reports', { to: 'id-ada' });
  await pupil.call('log.append', { entries: [played('p-1')] });
  await looks(pupil, 1);
  spoil(pupil, (text) => text.replace('report', 'repost'));
  loseAll(pupil);
  await looks(pupil, 6);
  expect(await problemsOf(pupil)).toEqual([]);
  carry(pupil.folder, teacher.folder, SURE, all.world.random);
  await looks(teacher, 1);
  const { passes } = await teacher.call('log.passes', { desk: 'id-ada' });
  expect(passes.map(({ id }) => id)).toEqual(['p-1']);
});

it('posts again what an earlier version kept without a sum', async () => {
  const teacher = await teacherOf();
  await teacher.done('shared.post', posting(sheetOf(ada)));
  spoil(teacher, (text) => {
    const { checkSum, ...parcel } = JSON.parse(text) as Readonly<Record<string, unknown>>;
    expect(checkSum).toMatch(/^[0-9a-f]{8}$/);
    return JSON.stringify(parcel);
  });
  loseAll(teacher);
  await looks(teacher, 6);
  expect(await sheetsIn(teacher)).toEqual(['Ada.rungsheet']);
});

// What cannot go into the shared folder now waits on the machine that wrote it, goes by itself once it can, once, and can
// be kept back until then.
import fs from 'node:fs';
import path from 'node:path';
import { expect, it } from 'vitest';
import { eachInAWorld } from '../../../support/machines/each-in-a-world.ts';
import { AT, chart, sheetOf, student, takeSheet } from '../../../support/machines/lesson.ts';
import { carry, type Machine, SURE } from '../../../support/machines/own-machines.ts';

const here = eachInAWorld(13);
const ada = student('id-ada', 'Ada');
const sheet = (text: string, id = 'id-ada') =>
  ({ kind: 'sheet', student: id, name: `${id}.rungsheet`, text }) as const;
const report = (text: string, adds?: true) =>
  ({
    kind: 'report',
    student: 'id-ada',
    name: 'A.rungreport',
    text,
    ...(adds && { adds }),
  }) as const;

async function teacherWith(...students: readonly (typeof ada)[]): Promise<Machine> {
  const teacher = here.machine('teacher', AT);
  await teacher.done('shared.choose', { folder: teacher.folder });
  await teacher.done('charts.save', { chart });
  for (const one of students) await teacher.done('students.save', { student: one });
  return teacher;
}
const isAway = (one: Machine): unknown => fs.renameSync(one.folder, `${one.folder}-away`);
const isBack = (one: Machine): unknown => fs.renameSync(`${one.folder}-away`, one.folder);
const leavingOn = async (one: Machine): Promise<readonly string[]> =>
  ((await one.call('shared.read', {})).leaving ?? []).map(({ name }) => name);
const textsIn = async (one: Machine): Promise<readonly string[]> => {
  const { waiting } = await one.call('shared.read', {});
  return Promise.all(waiting.map(({ id }) => one.done('shared.open', { id })));
};
/** What somebody else sees who has the same files. */
async function seenBy(name: string, from: Machine): Promise<readonly string[]> {
  const other = here.machine(name, AT);
  await other.done('shared.choose', { folder: other.folder });
  carry(from.folder, other.folder, SURE, here.world.random);
  return textsIn(other);
}

it('waits while the folder is away, also over a start, says where and why, and goes once', async () => {
  const teacher = await teacherWith(ada);
  isAway(teacher);
  expect(await teacher.done('shared.post', sheet(sheetOf(ada)))).toBe('waits');
  const { leaving, leavingWhy, away, written } = await teacher.call('shared.read', {});
  expect(leaving).toMatchObject([
    { folder: teacher.folder, name: 'id-ada.rungsheet', since: /2031/ },
  ]);
  expect([leavingWhy?.code, away?.code, written]).toEqual(['shared-away', 'shared-away', []]);
  teacher.restart();
  await teacher.call('shared.sync', {});
  expect(await leavingOn(teacher)).toEqual(['id-ada.rungsheet']);
  expect(fs.existsSync(teacher.folder)).toBe(false);
  isBack(teacher);
  for (let look = 0; look < 3; look++) await teacher.call('shared.sync', {});
  expect(await leavingOn(teacher)).toEqual([]);
  expect((await teacher.call('shared.read', {})).written).toHaveLength(1);
  const pupil = here.machine('pupil', AT);
  await pupil.done('shared.choose', { folder: pupil.folder });
  carry(teacher.folder, pupil.folder, SURE, here.world.random);
  await takeSheet(pupil);
});

it('waits where nothing can be written, and writes nothing where a drive is not connected', async () => {
  const teacher = await teacherWith(ada);
  // An empty folder stands where the drive is connected.
  isAway(teacher);
  fs.mkdirSync(teacher.folder);
  expect(await teacher.done('shared.post', sheet('one'))).toBe('waits');
  expect((await teacher.call('shared.read', {})).away?.message).toMatch(/is there, but what/);
  expect(fs.readdirSync(teacher.folder)).toEqual([]);
  fs.rmdirSync(teacher.folder);
  isBack(teacher);
  await teacher.call('shared.sync', {});
  expect(await seenBy('first', teacher)).toEqual(['one']);

  // A file stands in the place of the student's folder.
  await teacher.done('shared.parted', { apart: true });
  const hers = path.join(teacher.folder, 'Ada');
  fs.renameSync(hers, `${hers}-away`);
  fs.writeFileSync(hers, 'in the way');
  expect(await teacher.done('shared.post', sheet('two'))).toBe('waits');
  expect((await teacher.call('shared.read', {})).leavingWhy?.code).toBe('shared-unwritable');
  await teacher.call('shared.sync', {});
  expect(await leavingOn(teacher)).toHaveLength(1);
  fs.rmSync(hers);
  fs.renameSync(`${hers}-away`, hers);
  await teacher.call('shared.sync', {});
  expect((await seenBy('second', teacher)).toSorted()).toEqual(['one', 'two']);
});

it('is kept back until it leaves, is replaced by a newer one, and does not go for who was taken off', async () => {
  const ben = student('id-ben', 'Ben');
  const teacher = await teacherWith(ada, ben, student('id-eve', 'Eve'));
  isAway(teacher);
  for (const text of ['ada 1', 'ada 2']) await teacher.done('shared.post', sheet(text));
  await teacher.done('shared.post', sheet('ben', 'id-ben'));
  await teacher.done('shared.post', sheet('eve', 'id-eve'));
  const { leaving } = await teacher.call('shared.read', {});
  expect(leaving).toHaveLength(3);
  const bens = leaving!.find(({ student: one }) => one === 'id-ben')!;
  await teacher.call('shared.keepBack', { id: bens.id });
  await teacher.done('students.remove', { id: 'id-eve' });
  await teacher.done('shared.forget', { student: 'id-eve' });
  teacher.restart();
  expect(await leavingOn(teacher)).toEqual(['id-ada.rungsheet']);
  isBack(teacher);
  await teacher.call('shared.sync', {});
  expect(await seenBy('all', teacher)).toEqual(['ada 2']);
  // One that is written once the folder is back takes the place of what still waits.
  isAway(teacher);
  await teacher.done('shared.post', sheet('ada 3'));
  isBack(teacher);
  expect(await teacher.done('shared.post', sheet('ada 4'))).toBe('there');
  await teacher.call('shared.sync', {});
  expect(await seenBy('later', teacher)).toEqual(['ada 4']);
});

it('leaves no trace of a student who is removed for good', async () => {
  const teacher = await teacherWith(ada);
  isAway(teacher);
  await teacher.done('shared.post', sheet(sheetOf(ada)));
  await teacher.done('students.removeForGood', { id: 'id-ada' });
  await teacher.call('shared.sync', {});
  expect(fs.readdirSync(path.join(teacher.data, 'shared-leaving'))).toEqual([]);
});

it('keeps the order of reports that come one on top of the other', async () => {
  const pupil = here.machine('pupil', AT);
  await pupil.done('shared.choose', { folder: pupil.folder });
  isAway(pupil);
  await pupil.done('shared.post', report('whole'));
  await pupil.done('shared.post', report('on top', true));
  isBack(pupil);
  expect(await pupil.done('shared.post', report('and more', true))).toBe('there');
  expect(await seenBy('teacher', pupil)).toEqual(['whole', 'on top', 'and more']);
});

it('goes along to the same folder at another place, and into no other', async () => {
  const teacher = await teacherWith(ada);
  await teacher.done('shared.post', sheet('one'));
  isAway(teacher);
  await teacher.done('shared.post', sheet('two'));
  const other = path.join(here.world.root, 'other');
  fs.mkdirSync(other);
  await teacher.done('shared.choose', { folder: other });
  await teacher.call('shared.sync', {});
  expect(await leavingOn(teacher)).toHaveLength(1);
  expect(fs.readdirSync(path.join(other, 'rungwise-shared'))).toEqual([]);

  isBack(teacher);
  await teacher.done('shared.choose', { folder: teacher.folder });
  await teacher.call('shared.sync', {});
  expect(await seenBy('first', teacher)).toEqual(['two']);

  const moved = `${teacher.folder}-away`;
  isAway(teacher);
  await teacher.done('shared.choose', { folder: moved });
  isBack(teacher);
  await teacher.done('shared.post', sheet('three'));
  await teacher.done('shared.choose', { folder: teacher.folder });
  await teacher.call('shared.sync', {});
  expect(await leavingOn(teacher)).toEqual([]);
  expect(await seenBy('all', teacher)).toEqual(['three']);
});

it('is not posted twice where the program ends after it went, and what is damaged is set aside and told', async () => {
  const teacher = await teacherWith(ada);
  isAway(teacher);
  await teacher.done('shared.post', sheet('one'));
  const kept = path.join(teacher.data, 'shared-leaving');
  const [file] = fs.readdirSync(kept);
  const text = fs.readFileSync(path.join(kept, file!), 'utf8');
  isBack(teacher);
  await teacher.call('shared.sync', {});
  fs.writeFileSync(path.join(kept, file!), text);
  teacher.restart();
  await teacher.call('shared.sync', {});
  expect((await teacher.call('shared.read', {})).written).toHaveLength(1);
  expect(await leavingOn(teacher)).toEqual([]);

  fs.writeFileSync(path.join(kept, file!), text.replace('one', 'two'));
  teacher.restart();
  await teacher.call('shared.sync', {});
  const { problems } = await teacher.call('host.info', {});
  expect(problems.map(({ code }) => code)).toEqual(['leaving-spoilt']);
  expect(fs.readdirSync(path.join(teacher.data, 'set-aside'))).toHaveLength(1);
  expect((await teacher.call('shared.read', {})).written).toHaveLength(1);
});

it('does not go once sharing was ended', async () => {
  const teacher = await teacherWith(ada);
  isAway(teacher);
  await teacher.done('shared.post', sheet('one'));
  await teacher.done('shared.stop', { takeOut: false });
  isBack(teacher);
  await teacher.done('shared.choose', { folder: teacher.folder });
  await teacher.call('shared.sync', {});
  expect(await seenBy('all', teacher)).toEqual([]);
});

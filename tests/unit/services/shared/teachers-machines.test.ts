// A teacher's two machines: students, what was set, lessons and what was taken in are alike; and nobody else reads them.
import fs from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';
import type { Student } from '../../../../app/core/progress/assignment.ts';
import { eachInAWorld } from '../../../support/machines/each-in-a-world.ts';
import { AT } from '../../../support/machines/lesson.ts';
import { carry, type Machine, stateOf, SURE } from '../../../support/machines/own-machines.ts';
import { twoOfATeacher } from '../../../support/machines/two-of-a-teacher.ts';
import { passEntry } from '../samples.ts';

const all = eachInAWorld(11);
const { machine, meet } = all;

const two = (apart: boolean) => twoOfATeacher(all, apart);

const ada: Student = {
  ...{ id: 'id-ada', name: 'Ada', since: AT, assignments: [], group: 'Tuesday' },
  comments: [{ id: 'c-1', at: AT, by: 'Ms Tern', text: 'Slowly' }],
  lessons: [{ id: 'l-1', on: '2031-04-01', text: 'The join', agreed: ['Half the tempo'] }],
};
const listOn = async (one: Machine) =>
  (await one.call('students.list', {})).students.filter(({ id }) => id !== 'self');

describe('a teacher’s two machines', () => {
  it('hold the same students, lessons and reports, whoever changed them', async () => {
    const [school, home] = await two(true);
    await school.done('students.save', { student: ada });
    await school.call('log.append', { entries: [passEntry('p-1')], desk: 'id-ada' });
    await meet(school, home);
    expect(await listOn(home)).toEqual([ada]);
    const at = '1999-01-01T00:00:00Z';
    const word = { amends: 'p-1', at, verdict: 'missed', source: 'teacher' } as const;
    await home.call('log.append', {
      desk: 'id-ada',
      entries: [passEntry('p-2'), { kind: 'amendment', amendment: word }],
    });
    const lesson = { id: 'l-2', on: '1999-01-01', text: 'At home', agreed: [] };
    await home.done('students.save', { student: { ...ada, lessons: [...ada.lessons!, lesson] } });
    await school.done('students.save', { student: { ...ada, name: 'Ada B' } });
    await meet(school, home);
    const [there] = await listOn(school);
    expect([there!.name, there!.lessons!.map(({ id }) => id).toSorted()]).toEqual([
      'Ada B',
      ['l-1', 'l-2'],
    ]);
    const { passes } = await school.call('log.passes', { desk: 'id-ada' });
    expect(passes.map(({ id, verdict }) => `${id} ${verdict}`).toSorted()).toEqual([
      'p-1 missed',
      'p-2 clean',
    ]);
    expect((await school.call('log.passes', {})).passes).toEqual([]);
    expect(await stateOf(school)).toEqual(await stateOf(home));
  });

  it('take a student off the list on both, also one that the other has just written about', async () => {
    const [school, home] = await two(true);
    await school.done('students.save', { student: ada });
    await meet(school, home);
    await school.done('students.remove', { id: 'id-ada' });
    const lesson = { id: 'l-2', on: '2031-04-02', text: 'Late', agreed: [] };
    await home.done('students.save', { student: { ...ada, lessons: [lesson] } });
    await meet(school, home);
    expect([await listOn(school), await listOn(home)]).toEqual([[], []]);
    // Brought back, the lesson is there, too.
    await home.done('students.restore', { id: 'id-ada' });
    await meet(school, home);
    expect(await stateOf(school)).toEqual(await stateOf(home));
    expect(await listOn(school)).toHaveLength(1);
  });

  it('leave off the list who was taken off, however much the other wrote about them before it knew', async () => {
    const [school, home] = await two(true);
    await school.done('students.save', { student: ada });
    await meet(school, home);
    const sheet = { kind: 'sheet', student: 'id-ada', name: 'Ada.rungsheet', text: 'x' } as const;
    for (const one of [school, home]) await one.done('shared.post', sheet);
    await meet(school, home);
    // Each of these is later than the removal, by any count.
    const lessons = [...ada.lessons!];
    for (const n of [2, 3, 4]) {
      lessons.push({ id: `l-${n}`, on: '2031-04-02', text: `Late ${n}`, agreed: [] });
      await home.done('students.save', { student: { ...ada, group: `Group ${n}`, lessons } });
      await home.call('shared.sync', {});
    }
    await school.done('students.remove', { id: 'id-ada' });
    await school.call('shared.sync', {});
    carry(school.folder, home.folder, SURE, all.world.random);
    const { takenOff } = await home.call('shared.sync', {});
    expect(takenOff).toEqual([{ student: 'id-ada', name: 'Ada' }]);
    await meet(school, home);
    expect([await listOn(school), await listOn(home)]).toEqual([[], []]);
    for (const one of [school, home]) {
      const { written } = await one.call('shared.read', {});
      expect(written.filter((file) => 'name' in file)).toEqual([]);
    }
    // Brought back where less is known, all of it is there on both.
    await school.done('students.restore', { id: 'id-ada' });
    await meet(school, home);
    const [there] = await listOn(school);
    expect(await listOn(home)).toEqual([there]);
    expect(there!.lessons!.map(({ id }) => id)).toEqual(['l-1', 'l-2', 'l-3', 'l-4']);
    for (const one of [school, home])
      expect((await one.call('students.list', {})).removed).toEqual([]);
    // It can be taken off once more.
    await home.done('students.remove', { id: 'id-ada' });
    await meet(school, home);
    expect([await listOn(school), await listOn(home)]).toEqual([[], []]);
  });

  it('keep nothing of who was removed for good, in no file of theirs and in no log', async () => {
    const [school, home] = await two(true);
    const ben = { id: 'id-of-ben', name: 'Benno', since: AT, assignments: [], comments: [] };
    for (const student of [ada, ben]) await school.done('students.save', { student });
    await school.done('shared.parted', { apart: true });
    await home.call('log.append', { entries: [passEntry('own-1')] });
    await school.call('log.append', { entries: [passEntry('ben-1')], desk: 'id-of-ben' });
    await school.call('log.append', { entries: [passEntry('of-ada-1')], desk: 'id-ada' });
    await meet(school, home);
    home.backUp(path.join(all.world.root, 'backup'));
    await home.call('log.append', { entries: [passEntry('of-ada-2')], desk: 'id-ada' });
    const sheet = { kind: 'sheet', student: 'id-ada', name: 'Ada.rungsheet', text: 'x' } as const;
    for (const one of [school, home]) await one.done('shared.post', sheet);
    await meet(school, home);
    expect(tracesIn(all.world.root).length).toBeGreaterThan(8);

    await school.done('students.remove', { id: 'id-ada' });
    await school.done('students.removeForGood', { id: 'id-ada' });
    // The other one has written about her meanwhile.
    await home.done('students.save', { student: { ...ada, group: 'Group of-ada' } });
    await home.call('log.append', { entries: [passEntry('of-ada-3')], desk: 'id-ada' });
    await home.call('shared.sync', {});
    await school.call('shared.sync', {});
    carry(school.folder, home.folder, SURE, all.world.random);
    const { forGood, takenOff } = await home.call('shared.sync', {});
    expect([forGood, takenOff]).toEqual([[{ student: 'id-ada', name: 'Ada' }], []]);
    await meet(school, home);
    await meet(school, home);
    for (const one of [school, home]) one.restart();
    fs.rmSync(path.join(all.world.root, 'backup'), { recursive: true });
    expect(tracesIn(all.world.root)).toEqual([]);
    for (const one of [school, home]) {
      expect((await listOn(one)).map(({ name }) => name)).toEqual(['Benno']);
      expect((await one.call('log.passes', {})).passes.map(({ id }) => id)).toEqual(['own-1']);
      const { passes } = await one.call('log.passes', { desk: 'id-of-ben' });
      expect(passes.map(({ id }) => id)).toEqual(['ben-1']);
      expect((await one.call('shared.read', {})).missing).toBeUndefined();
    }
    expect(await stateOf(school)).toEqual(await stateOf(home));
  });

  it('take out of a copy that was brought back who was removed for good since', async () => {
    const [school, home] = await two(true);
    await school.done('students.save', { student: ada });
    await school.call('log.append', { entries: [passEntry('of-ada-1')], desk: 'id-ada' });
    await meet(school, home);
    const backup = path.join(all.world.root, 'backup');
    home.backUp(backup);
    await school.done('students.removeForGood', { id: 'id-ada' });
    await meet(school, home);
    home.restore(backup);
    fs.rmSync(backup, { recursive: true });
    expect(await listOn(home)).toEqual([ada]);
    await meet(school, home);
    expect([await listOn(school), await listOn(home)]).toEqual([[], []]);
    for (const one of [school, home]) one.restart();
    expect(tracesIn(all.world.root)).toEqual([]);
  });

  it('offer a report that was put away on one nowhere again, and share one folder a student', async () => {
    const [school, home] = await two(true);
    await school.done('students.save', { student: ada });
    await school.done('shared.parted', { apart: true });
    const student = machine('ada', AT);
    await student.done('shared.choose', { folder: student.folder });
    const report = { kind: 'report', student: 'nobody', name: 'A.rungreport', text: '{}' } as const;
    await student.done('shared.post', report);
    await meet(school, home);
    for (const one of [school, home])
      carry(student.folder, path.join(one.folder, 'Ada'), SURE, all.world.random);
    const [waiting] = (await school.call('shared.read', {})).waiting;
    expect((await home.call('shared.read', {})).waiting).toHaveLength(1);
    await school.call('shared.taken', { id: waiting!.id });
    await meet(school, home);
    expect((await home.call('shared.read', {})).waiting).toEqual([]);
    const sheet = { ...report, kind: 'sheet', student: 'id-ada', name: 'S.rungsheet' } as const;
    await home.done('shared.post', sheet);
    expect(fs.readdirSync(home.folder).sort()).toEqual(['Ada', 'rungwise-shared']);
  });

  it('tell nobody of their students where all share one folder', async () => {
    const [school, home] = await two(false);
    await school.done('students.save', { student: ada });
    await school.call('log.append', { entries: [passEntry('secret-1')], desk: 'id-ada' });
    await meet(school, home);
    const texts = fs
      .readdirSync(all.world.hub, { recursive: true, encoding: 'utf8' })
      .filter((name) => name.endsWith('.rungshare'))
      .map((name) => fs.readFileSync(path.join(all.world.hub, name), 'utf8'));
    expect(texts.join('')).not.toMatch(/secret-1|The join|Tuesday/);
    expect(await listOn(home)).toEqual([]);

    // From when each student has a folder, they go; and turned back, nobody is taken off.
    await school.done('shared.parted', { apart: true });
    await meet(school, home);
    expect(await listOn(home)).toEqual([ada]);
    expect((await home.call('log.passes', { desk: 'id-ada' })).passes).toHaveLength(1);
    await school.done('shared.parted', { apart: false });
    await meet(school, home);
    expect(await listOn(home)).toEqual([ada]);
    expect(await listOn(school)).toEqual([ada]);
    await school.done('shared.parted', { apart: true });
    await meet(school, home);
    expect([await listOn(school), await listOn(home)]).toEqual([[ada], [ada]]);
  });

  it('keep a lesson that comes before its student until that one has come', async () => {
    const [school, home] = await two(true);
    const { lessons, ...bare } = ada;
    await school.done('students.save', { student: bare });
    await school.call('shared.sync', {});
    const first = filesIn(school.folder);
    await school.done('students.save', { student: { ...bare, lessons: lessons! } });
    await school.call('shared.sync', {});
    // The file with the lesson alone arrives.
    const [late] = filesIn(school.folder).filter((name) => !first.includes(name));
    const target = path.join(home.folder, late!);
    fs.copyFileSync(path.join(school.folder, late!), target);
    await home.call('shared.sync', {});
    expect(await listOn(home)).toEqual([]);
    await meet(school, home);
    expect(await listOn(home)).toEqual([ada]);
  });
});

/** Every file of all machines and of what lies between them in which a trace of her stands. */
const tracesIn = (folder: string): readonly string[] =>
  fs
    .readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map(({ parentPath, name }) => path.join(parentPath, name))
    .filter((file) => /id-ada|of-ada|"Ada"|Slowly|The join/.test(fs.readFileSync(file, 'latin1')))
    .map((file) => path.relative(folder, file));

const filesIn = (folder: string): readonly string[] =>
  fs
    .readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.rungshare'));

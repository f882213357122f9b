// Who was removed for good, in files that come late or once more by a syncing service, and in numbers that are waited for.
import fs from 'node:fs';
import path from 'node:path';
import { DatabaseSync } from 'node:sqlite';
import { expect, it } from 'vitest';
import type { Fact } from '../../../../app/core/exchange/shared/facts.ts';
import {
  hashIn,
  readSegment,
  segmentName,
  writeSegment,
} from '../../../../app/core/exchange/shared/segment.ts';
import type { Chart } from '../../../../app/core/model/chart.ts';
import type { Student } from '../../../../app/core/progress/assignment.ts';
import { eachInAWorld } from '../../../support/machines/each-in-a-world.ts';
import { AT } from '../../../support/machines/lesson.ts';
import { carry, type Machine, stateOf, SURE } from '../../../support/machines/own-machines.ts';
import { twoOfATeacher } from '../../../support/machines/two-of-a-teacher.ts';
import { passEntry, sampleChart } from '../samples.ts';
import { filesIn } from '../../../support/machines/own-machines.ts';

const all = eachInAWorld(12);
const { meet } = all;

const student = (id: string, name: string): Student => ({
  ...{ id, name, since: AT, assignments: [] },
  comments: [{ id: `c-${id}`, at: AT, by: 'Ms Tern', text: `Word on ${id}` }],
});
const ada = student('id-ada', 'Ada');
const ben = student('id-ben', 'Benno');

/** The files of a folder as they stand now, to be put there once more. */
function keep(folder: string): () => void {
  const texts = filesIn(folder).map((name) => [name, fs.readFileSync(path.join(folder, name))]);
  return () => {
    for (const [name, text] of texts) {
      const file = path.join(folder, name as string);
      fs.mkdirSync(path.dirname(file), { recursive: true });
      fs.writeFileSync(file, text as Buffer);
    }
  };
}
const tracesIn = (folder: string): readonly string[] =>
  fs
    .readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map(({ parentPath, name }) => path.join(parentPath, name))
    .filter((file) => /id-ada|of-ada|"Ada"/.test(fs.readFileSync(file, 'latin1')))
    .map((file) => path.relative(folder, file));
const passesOf = async (one: Machine, desk?: string): Promise<readonly string[]> =>
  (await one.call('log.passes', desk === undefined ? {} : { desk })).passes
    .map(({ id }) => id)
    .toSorted();
const segmentsOn = async (one: Machine): Promise<number> =>
  (await one.call('shared.read', {})).writers.reduce((sum, { segments }) => sum + segments, 0);

/** Both machines know of Ada and Benno, with reports of theirs and what was played in between. */
async function lesson(): Promise<readonly [Machine, Machine]> {
  const [school, home] = await twoOfATeacher(all, true, { own: 1, others: 2 });
  for (const one of [ada, ben]) await school.done('students.save', { student: one });
  await school.call('log.append', { entries: [passEntry('own-1')] });
  await school.call('log.append', { entries: [passEntry('of-ada-1')], desk: 'id-ada' });
  await school.call('log.append', { entries: [passEntry('ben-1')], desk: 'id-ben' });
  await meet(school, home);
  return [school, home];
}

async function expectNothingOfAda(...machines: readonly Machine[]): Promise<void> {
  for (const one of machines) {
    one.restart();
    expect(tracesIn(one.data)).toEqual([]);
    expect(tracesIn(one.folder)).toEqual([]);
    expect(await passesOf(one, 'id-ada')).toEqual([]);
    expect(await passesOf(one)).toEqual(['own-1']);
    expect(await passesOf(one, 'id-ben')).toEqual(['ben-1']);
    const { students } = await one.call('students.list', {});
    expect(students.map(({ name }) => name).filter((name) => name !== '')).toEqual(['Benno']);
  }
}

it.each([
  ['as it was', 0],
  ['as it was before it was swept away with many others', 30],
])(
  'takes out of a file of its own again what a syncing service brings back %s',
  async (_, more) => {
    const [school, home] = await lesson();
    const bringBack = keep(school.folder);
    for (let n = 0; n < more; n++) {
      await school.call('settings.write', { patch: { breakReminderMinutes: 5 + n } });
      await school.call('shared.sync', {});
    }
    await school.done('students.removeForGood', { id: 'id-ada' });
    await school.call('shared.sync', {});
    expect(tracesIn(school.folder).filter((file) => !file.includes('home-'))).toEqual([]);
    bringBack();
    expect(tracesIn(school.folder)).not.toEqual([]);
    await meet(school, home);
    // In the copy between them nobody has taken it out: no service would keep it there.
    fs.rmSync(all.world.hub, { recursive: true });
    fs.mkdirSync(all.world.hub);
    for (const one of [school, home])
      for (const name of filesIn(one.folder))
        if (!name.includes(`${one.name}-`)) fs.rmSync(path.join(one.folder, name));
    await meet(school, home);
    await expectNothingOfAda(school, home);
    expect(await stateOf(school)).toEqual(await stateOf(home));
    // And it comes to rest.
    const before = await segmentsOn(school);
    await meet(school, home);
    expect(await segmentsOn(school)).toBe(before);
  },
);

it('keeps nothing of a file that comes late from a machine that does not know yet', async () => {
  const [school, home] = await lesson();
  await home.call('log.append', { entries: [passEntry('of-ada-2')], desk: 'id-ada' });
  await home.call('shared.sync', {});
  await school.done('students.removeForGood', { id: 'id-ada' });
  await school.call('shared.sync', {});
  await school.call('shared.sync', {});
  // It comes when all that was here has been cleared, and is looked at more than once.
  carry(home.folder, school.folder, SURE, all.world.random);
  for (let look = 0; look < 2; look++) await school.call('shared.sync', {});
  school.restart();
  await school.call('shared.read', {});
  school.restart();
  expect(tracesIn(school.data)).toEqual([]);
  expect(await passesOf(school, 'id-ada')).toEqual([]);
});

it('knows who is gone from what travelled, where the list itself is an earlier one', async () => {
  const [school, home] = await lesson();
  const list = path.join(home.data, 'students.json');
  const before = fs.readFileSync(list);
  await school.done('students.removeForGood', { id: 'id-ada' });
  await meet(school, home);
  home.close();
  fs.writeFileSync(list, before);
  home.restart();
  await home.call('shared.sync', {});
  const { students } = await home.call('students.list', {});
  expect(students.some(({ id }) => id === 'id-ada')).toBe(false);
  await meet(school, home);
  expect(await stateOf(school)).toEqual(await stateOf(home));
});

it('lets nobody wait for files that nobody but their writer read, once what they stood in is destroyed, too', async () => {
  const [school, home] = await lesson();
  const backup = path.join(all.world.root, 'backup');
  school.backUp(backup);
  // While nothing goes to and fro: many small files, which become few, and one that is emptied.
  await school.call('log.append', { entries: [passEntry('of-ada-3')], desk: 'id-ada' });
  await school.call('shared.sync', {});
  await school.done('students.removeForGood', { id: 'id-ada' });
  for (let n = 0; n < 40; n++) {
    await school.call('settings.write', { patch: { breakReminderMinutes: 5 + n } });
    await school.call('shared.sync', {});
  }
  // The last of that writer, and no other file, stays: all before it are waited for.
  const last = filesIn(school.folder).findLast((name) => name.includes('/school-'))!;
  expect(fs.readFileSync(path.join(school.folder, last), 'utf8')).not.toContain('"instead"');
  school.restore(backup);
  await meet(school, home);
  for (const folder of [school.folder, home.folder, all.world.hub])
    for (const name of filesIn(folder)) if (name !== last) fs.rmSync(path.join(folder, name));
  const { writers } = await home.call('shared.read', {});
  expect(writers.flatMap(({ missing }) => missing).length).toBeGreaterThan(30);
  for (let look = 0; look < 4; look++) await meet(school, home);
  for (const one of [school, home]) {
    const { writers } = await one.call('shared.read', {});
    expect(writers.flatMap(({ missing }) => missing)).toEqual([]);
  }
  await expectNothingOfAda(school, home);
});

/** The files of a folder as they were written before they said who set a value. */
function asBefore(folder: string): void {
  for (const name of filesIn(folder)) {
    const file = path.join(folder, name);
    const read = readSegment(fs.readFileSync(file, 'utf8'));
    if (read.kind !== 'whole') throw new Error(name);
    const { batch, ...rest } = read.segment;
    const facts = batch?.facts.map((fact): Fact =>
      fact.kind === 'value' ? { ...fact, by: undefined } : fact,
    );
    const text = writeSegment({
      ...rest,
      ...(batch && facts ? { batch: { ...batch, facts } } : {}),
    });
    fs.rmSync(file);
    fs.writeFileSync(path.join(path.dirname(file), segmentName(rest.number, hashIn(text))), text);
  }
}

it('tells what else stood in a file under the name that first told it, also from files that say no name', async () => {
  const [school, home] = await twoOfATeacher(all, true);
  const titles = async (one: Machine): Promise<readonly string[]> =>
    (await one.call('charts.list', {})).charts.map(({ title }) => title);
  const chartAt = (bpm: number): Chart =>
    sampleChart('k-1', { title: 'Low Tide', tempo: { bpm, beat: 'quarter' } });
  await school.done('students.save', { student: ada });
  await school.done('charts.save', { chart: chartAt(70) });
  await school.call('shared.sync', {});
  school.close();
  asBefore(school.folder);
  for (const file of fs.readdirSync(school.data))
    if (file.startsWith('own-machines.sqlite')) fs.rmSync(path.join(school.data, file));
  school.restart();
  fs.rmSync(all.world.hub, { recursive: true });
  fs.mkdirSync(all.world.hub);
  await meet(school, home);
  // A backup that is brought back has what follows told under a new name.
  const backup = path.join(all.world.root, 'backup');
  school.backUp(backup);
  await school.call('settings.write', { patch: { breakReminderMinutes: 17 } });
  await meet(school, home);
  school.restore(backup);
  await home.done('charts.save', { chart: chartAt(90) });
  await meet(school, home);
  await school.done('students.removeForGood', { id: 'id-ada' });
  await meet(school, home);
  for (const one of [school, home]) {
    expect(tracesIn(one.folder)).toEqual([]);
    expect(await titles(one)).toEqual(['Low Tide']);
  }
  expect(await stateOf(school)).toEqual(await stateOf(home));
});

it('reads a file where what was kept of it is damaged, and takes people out all the same', async () => {
  const [school, home] = await lesson();
  home.close();
  const database = new DatabaseSync(path.join(home.data, 'own-machines.sqlite'));
  const { changes } = database
    .prepare(
      `update heads set head = case rowid_of % 2 when 0 then '{}' else substr(head, 9) end
      from (select file as of, row_number() over (order by file) as rowid_of from heads) where file = of`,
    )
    .run();
  database.close();
  expect(changes).toBeGreaterThan(2);
  home.restart();
  expect((await home.call('shared.read', {})).flawed ?? []).toEqual([]);
  await school.done('students.removeForGood', { id: 'id-ada' });
  await meet(school, home);
  await expectNothingOfAda(school, home);
});

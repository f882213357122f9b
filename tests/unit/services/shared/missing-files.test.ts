// Whose files are waited for: a student's, a teacher's, those of nobody known here; and since when, each from its own look.
import fs from 'node:fs';
import path from 'node:path';
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
import { carry, Machine, SURE } from '../../../support/machines/own-machines.ts';

const here = eachInAWorld(17);
const ada = student('id-ada', 'Ada');

/** A machine whose clock can be turned. */
async function machine(name: string): Promise<{ one: Machine; turn: (to: string) => void }> {
  let at = AT;
  const one = here.opened(new Machine(here.world, name, () => new Date(at)));
  await one.done('shared.choose', { folder: one.folder });
  return { one, turn: (to) => (at = to) };
}
const go = (from: Machine, to: Machine): void =>
  carry(from.folder, to.folder, SURE, here.world.random);
/** The files of one writer in a folder that bear this number go; the function puts them back. */
function without(one: Machine, from: string, number: number): () => void {
  const files = fs
    .readdirSync(one.folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => path.basename(path.dirname(name)).startsWith(from))
    .filter((name) => path.basename(name).startsWith(String(number).padStart(6, '0')))
    .map((name) => path.join(one.folder, name));
  const texts = files.map((file) => fs.readFileSync(file));
  expect(files).toHaveLength(1);
  files.forEach((file) => fs.rmSync(file));
  return () => files.forEach((file, i) => fs.writeFileSync(file, texts[i]!));
}
const missingOn = async (one: Machine) => {
  await one.call('shared.sync', {});
  return (await one.call('shared.read', {})).missing;
};
const day = (iso: string | undefined): string => new Date(iso!).toISOString().slice(0, 10);

it('names the student and the teacher, and says since when', async () => {
  const [{ one: teacher, turn }, { one: pupil }] = [
    await machine('teacher'),
    await machine('pupil'),
  ];
  await teacher.done('charts.save', { chart });
  await teacher.done('students.save', { student: ada });
  const sheet = { kind: 'sheet', student: 'id-ada', name: 'Ada.rungsheet' } as const;
  for (const text of ['first', 'second', sheetOf(ada)])
    await teacher.done('shared.post', { ...sheet, text });
  go(teacher, pupil);
  await takeSheet(pupil);
  without(pupil, 'teacher', 2);
  expect(await missingOn(pupil)).toMatchObject([
    { whose: { kind: 'teacher', teacher: 'Ms Tern' }, numbers: [2] },
  ]);

  await pupil.done('shared.reports', { to: 'id-ada' });
  for (const id of ['p-1', 'p-2', 'p-3', 'p-4', 'p-5']) {
    await pupil.call('log.append', { entries: [played(id)] });
    await pupil.call('shared.sync', {});
  }
  go(pupil, teacher);
  without(teacher, 'pupil', 2);
  const [one] = (await missingOn(teacher))!;
  expect(one).toMatchObject({ whose: { kind: 'student', student: 'id-ada' }, numbers: [2] });
  turn('2031-04-09T10:00:00Z');
  const back = without(teacher, 'pupil', 4);
  const [both] = (await missingOn(teacher))!;
  expect([both!.numbers, day(both!.since)]).toEqual([[2, 4], day(AT)]);
  teacher.restart();
  expect(day((await missingOn(teacher))![0]!.since)).toBe(day(AT));
  back();
  expect((await missingOn(teacher))![0]!.numbers).toEqual([2]);
  turn('2031-04-20T10:00:00Z');
  // The one that waits now is not the one that came.
  without(teacher, 'pupil', 4);
  go(pupil, teacher);
  without(teacher, 'pupil', 3);
  expect(day((await missingOn(teacher))![0]!.since)).toBe('2031-04-20');

  // To somebody else it is nobody's.
  const { one: stranger } = await machine('stranger');
  go(pupil, stranger);
  without(stranger, 'pupil', 2);
  const unknown = { whose: { kind: 'unknown' }, numbers: [2] };
  expect(await missingOn(stranger)).toMatchObject([unknown, unknown]);
});

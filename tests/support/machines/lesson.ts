// A lesson that goes round: a teacher's list, the sheet of each student, how a student takes it in and what is played.
import { expect } from 'vitest';
import { mergeTaskSheet } from '../../../app/core/exchange/desk/task-sheet-merge.ts';
import { readTaskSheet, writeTaskSheet } from '../../../app/core/exchange/desk/task-sheet.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { assign, type Student } from '../../../app/core/progress/assignment.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import { passEntry } from '../../unit/services/samples.ts';
import { demoNamed } from '../demo.ts';
import type { TalkingHost } from './host.ts';

export const AT = '2031-04-01T10:00:00Z';
export const chart = demoNamed('low-tide-lanterns');
const [unit] = listUnits(chart);

export const student = (id: string, name: string): Student => ({
  ...{ id, name, since: AT, comments: [] },
  assignments: assign(chart, [unit!], { at: AT, by: 'Ms Tern', newId: () => `set-${id}` }),
});

/** The sheet of a student, as the teacher's page writes it. */
export const sheetOf = ({ id, name, assignments, comments }: Student): string =>
  writeTaskSheet({
    ...{ written: AT, teacher: { name: 'Ms Tern' }, student: { id, name } },
    ...{ charts: [chart], assignments, comments, words: [] },
  });

/** The student looks at what waits, and takes it in, as the student's page does. */
export async function takeSheet(host: Pick<TalkingHost, 'call' | 'done'>): Promise<void> {
  const { waiting } = await host.call('shared.read', {});
  expect(waiting.map(({ kind }) => kind)).toEqual(['sheet']);
  const text = await host.done('shared.open', { id: waiting[0]!.id });
  const { content } = unwrap(readTaskSheet(text, AT));
  const desk = { id: 'self', name: '', since: AT, assignments: [], comments: [] };
  const merged = mergeTaskSheet({ desk, charts: [], passes: [] }, content);
  for (const one of merged.charts) await host.done('charts.save', { chart: one });
  await host.done('students.save', { student: merged.desk });
  await host.call('shared.taken', { id: waiting[0]!.id });
}

export const played = (id: string) =>
  passEntry(id, {
    chart: { id: chart.id, title: chart.title },
    unit: { key: unit!.key, name: unit!.name, fingerprint: unit!.fingerprint },
  });

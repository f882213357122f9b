// What a teacher does on one of several machines: takes students on and off, sets tasks, writes lessons, takes in reports.
import type { LogEntry } from '../../../app/core/model/pass.ts';
import { assign, type Student } from '../../../app/core/progress/assignment.ts';
import { isoTimeOf } from '../../../app/core/base/iso-time.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import type { Machine } from './own-machines.ts';
import type { Done } from './player.ts';

const MOST_STUDENTS = 5;

export async function teach(machine: Machine, done: Done, random: () => number): Promise<void> {
  const { students, removed } = await machine.call('students.list', {});
  const list = students.filter(({ id }) => id !== 'self');
  const pick = list[Math.floor(random() * list.length)];
  if (!pick || (list.length < MOST_STUDENTS && random() < 0.3)) {
    const id = `student-${machine.newId()}`;
    await machine.done('students.save', {
      student: {
        ...{ id, name: `Name of ${id}`, since: isoTimeOf(machine.now()) },
        ...{ assignments: [], comments: [], group: 'Tuesday' },
      },
    });
    return;
  }
  if (removed.length > 0 && random() < 0.05) {
    const { id } = removed[Math.floor(random() * removed.length)]!;
    await machine.done('students.restore', { id });
    // Another machine may take them off once more meanwhile: all are alike in the end, that is all.
    done.removed.delete(id);
    done.broughtBack.add(id);
    return;
  }
  const student = await withNews(machine, pick, random);
  await machine.done('students.save', { student });
  if (random() < 0.5) await takeIn(machine, student.id, done);
  if (random() < 0.04) {
    await machine.done('students.remove', { id: student.id });
    if (!done.broughtBack.has(student.id)) done.removed.add(student.id);
  }
}

/** One of those on the list of this machine, whatever the others are doing with them. */
export async function removeForGood(machine: Machine, done: Done): Promise<void> {
  const { students } = await machine.call('students.list', {});
  const student = students.find(({ id }) => id !== 'self');
  if (!student) return;
  await machine.done('students.removeForGood', { id: student.id });
  done.forGood.add(student.id);
}

async function withNews(machine: Machine, student: Student, random: () => number) {
  const at = isoTimeOf(machine.now());
  const id = machine.newId();
  const lesson = { id, on: at.slice(0, 10), text: `What we did ${id}`, agreed: ['Slowly'] };
  const comment = { id: `c-${id}`, at, by: 'Ms Tern', text: 'Well done' };
  const { charts } = await machine.call('charts.list', {});
  const [listed] = charts;
  const chart = listed && (await machine.done('charts.open', { id: listed.id }));
  const set = chart
    ? assign(chart, listUnits(chart).slice(0, 1), { at, by: 'Ms Tern', newId: () => `t-${id}` })
    : [];
  return {
    ...student,
    ...(random() < 0.2 ? { group: `Group ${Math.floor(random() * 3)}` } : {}),
    lessons: [...(student.lessons ?? []), ...(random() < 0.5 ? [lesson] : [])],
    comments: [...student.comments, ...(random() < 0.5 ? [comment] : [])],
    assignments: [...student.assignments, ...(random() < 0.4 ? set : [])],
  };
}

/** What a report brings: passes, a later word on one of them, and the teacher's own. */
async function takeIn(machine: Machine, desk: string, done: Done): Promise<void> {
  const at = isoTimeOf(machine.now());
  const id = `report-${machine.newId()}`;
  const entries: readonly LogEntry[] = [
    {
      kind: 'pass',
      unit: { fingerprint: 'bars-1', bars: [] },
      pass: {
        ...{ id, at, session: `s-${id}`, climb: `c-${id}` },
        chart: { id: 'k-1', title: 'Invented' },
        unit: { key: 'section:Verse', name: 'Verse', fingerprint: 'bars-1' },
        rung: { bpm: 80, beat: 'quarter', index: 2, of: 9, target: 120 },
        ...{ verdict: 'clean', source: 'self', cold: false, duration: 12 },
      },
    },
    { kind: 'amendment', amendment: { amends: id, at, verdict: 'missed', source: 'self' } },
    { kind: 'amendment', amendment: { amends: id, at, verdict: 'clean', source: 'teacher' } },
  ];
  await machine.call('log.append', { entries, desk });
  done.reported.set(id, desk);
}

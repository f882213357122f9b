// Speed of the teacher's side: one student's page opened among thirty, and the table of all.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { groupByUnit } from '../../../app/core/log/per-unit.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import type { Student } from '../../../app/core/progress/assignment.ts';
import { compareNeeds } from '../../../app/core/progress/help.ts';
import { lastLesson, lessonPage } from '../../../app/core/progress/lesson.ts';
import type { LessonFacts } from '../../../app/core/progress/lesson-facts.ts';
import type { Passes } from '../../../app/services/contract/contract.ts';
import type { Places } from '../../../app/services/contract/log-queries.ts';
import { type DeskRow, rowOf } from '../../../app/core/progress/placing.ts';
import { chart, diary, ownDesk } from '../../browser/record/diary.ts';
import { openTestServices } from '../../unit/services/samples.ts';
import { type BenchRow, quantile, timeRuns } from '../bench.ts';

const STUDENTS = 30;
const TODAY = '2031-04-05';

export const rows: BenchRow[] = [
  {
    name: 'student-page-30x2000',
    what: `one student’s page with ${STUDENTS} students × 2,000 passes: where all that is set stands, then and now, places that break, next steps, asked of the machine side as text; peer: the student’s passes asked and grouped by unit`,
    unit: 'ms',
    goal: { at: '<=', value: 200 },
    measure: () =>
      withClass(async ({ ask, places, lesson }, students) => {
        let i = 0;
        const next = () => students[i++ % STUDENTS]!;
        await openPage(next(), places, lesson);
        const before = process.cpuUsage();
        const times = await timeRuns(STUDENTS, async () => openPage(next(), places, lesson), 0);
        const { user, system } = process.cpuUsage(before);
        const busy = (user + system) / 1000 / STUDENTS;
        const peer = await timeRuns(
          STUDENTS,
          async () => groupByUnit(await ask(next().id)).size,
          1,
        );
        const beforeTable = process.cpuUsage();
        const all = await timeRuns(1, () => table(students, places, '2031-04-06'), 0);
        const spent = process.cpuUsage(beforeTable);
        const tableBusy = (spent.user + spent.system) / 1000;
        all.push(...(await timeRuns(1, () => table(students, places, '2031-04-06'), 0)));
        return {
          value: quantile(times, 0.95),
          peer: { name: 'asked and grouped', value: quantile(peer, 0.95) },
          note: `95th of ${STUDENTS} pages, median ${quantile(times, 0.5).toFixed(0)} ms, processor ${busy.toFixed(0)} ms a page; ${students[0]!.assignments.length} things set each; the table of all: ${all[0]!.toFixed(0)} ms, processor ${tableBusy.toFixed(0)} ms, opened again ${all[1]!.toFixed(0)} ms`,
        };
      }),
  },
];

interface Asking {
  readonly ask: (student: string) => Promise<readonly PassRecord[]>;
  readonly places: (student: Student, asOf: string) => Promise<Places>;
  readonly lesson: (student: Student, since: string) => Promise<LessonFacts>;
}

async function rowFor(student: Student, places: Asking['places'], asOf: string): Promise<DeskRow> {
  const told = new Map(await places(student, asOf));
  return rowOf(student, ({ id }) => told.get(id), asOf);
}

async function openPage(
  student: Student,
  places: Asking['places'],
  lesson: Asking['lesson'],
): Promise<number> {
  const { placed } = await rowFor(student, places, TODAY);
  const facts = await lesson(student, lastLesson(student, TODAY));
  return lessonPage({ student, placed, facts, charts: [chart], today: TODAY }).lines.length;
}

async function table(
  students: readonly Student[],
  places: Asking['places'],
  asOf: string,
): Promise<number> {
  const rows: DeskRow[] = [];
  for (const student of students) rows.push(await rowFor(student, places, asOf));
  return rows.sort((a, b) => compareNeeds(a.needs, b.needs)).length;
}

/** A class on a folder of its own, each student with 2,000 passes of two units over fifty days. */
async function withClass<T>(use: (asking: Asking, students: readonly Student[]) => Promise<T>) {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-bench-'));
  const host = openTestServices(folder);
  try {
    const students = Array.from({ length: STUDENTS }, (_, i) => ({
      ...ownDesk('2031-05-01', '2031-02-15T10:00:00Z'),
      id: `st-${i}`,
      name: `Student ${i}`,
      // A lesson a week: what is read whole is what came since.
      lessons: [{ id: 'l', on: '2031-03-29', text: '', agreed: [] }],
    }));
    for (const [i, { id }] of students.entries()) {
      const entries = diary({
        ...{ until: TODAY, days: 50, passesPerDay: 20, units: 2 },
        ...{ seed: i + 1, prefix: `${id}-` },
      });
      await host.handle('log.append', { desk: id, entries });
    }
    // As over a transport: what is asked comes as text.
    const call = async <T>(name: string, input: unknown): Promise<T> =>
      (JSON.parse(JSON.stringify(await host.handle(name, input))) as { value: T }).value;
    const asking: Asking = {
      ask: async (desk) => (await call<Passes>('log.passes', { desk })).passes,
      places: ({ id: desk, assignments }, asOf) => call('log.places', { desk, asOf, assignments }),
      lesson: ({ id: desk, assignments }, since) =>
        call('log.lesson', { desk, since, assignments }),
    };
    return await use(asking, students);
  } finally {
    host.close();
    fs.rmSync(folder, { recursive: true, force: true });
  }
}

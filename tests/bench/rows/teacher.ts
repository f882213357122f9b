// Speed of the teacher's side: one student's page opened among thirty, and the table of all.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { groupByUnit } from '../../../app/core/log/per-unit.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import type { Student } from '../../../app/core/progress/assignment.ts';
import { compareNeeds } from '../../../app/core/progress/help.ts';
import { lessonPage } from '../../../app/core/progress/lesson.ts';
import type { Passes } from '../../../app/services/contract/contract.ts';
import type { Places } from '../../../app/services/contract/log-queries.ts';
import { type DeskRow, deskRow, rowOf } from '../../../app/core/progress/placing.ts';
import { UnitRecords } from '../../../renderer/state/log/unit-records.ts';
import { chart, diary, ownDesk } from '../../browser/record/diary.ts';
import { openTestServices } from '../../unit/services/samples.ts';
import { type BenchRow, quantile, timeRuns } from '../bench.ts';

const STUDENTS = 30;
const TODAY = '2031-04-05';

export const rows: BenchRow[] = [
  {
    name: 'student-page-30x2000',
    what: `one student’s page with ${STUDENTS} students × 2,000 passes: the passes asked of the machine side as text, standings, places that break, next steps; peer: the same passes asked and grouped by unit`,
    unit: 'ms',
    goal: { at: '<=', value: 200 },
    measure: () =>
      withClass(async (ask, places, students) => {
        let i = 0;
        const next = () => students[i++ % STUDENTS]!;
        await openPage(next(), ask);
        const before = process.cpuUsage();
        const times = await timeRuns(STUDENTS, async () => openPage(next(), ask), 0);
        const { user, system } = process.cpuUsage(before);
        const busy = (user + system) / 1000 / STUDENTS;
        const peer = await timeRuns(
          STUDENTS,
          async () => groupByUnit(await ask(next().id)).size,
          1,
        );
        const row = deskRow(students[0]!, new UnitRecords(await ask('st-0')), TODAY);
        const all = await timeRuns(2, () => table(students, places), 0);
        return {
          value: quantile(times, 0.95),
          peer: { name: 'asked and grouped', value: quantile(peer, 0.95) },
          note: `95th of ${STUDENTS} pages, median ${quantile(times, 0.5).toFixed(0)} ms, processor ${busy.toFixed(0)} ms a page; ${row.placed.length} things set each; the table of all: ${all[0]!.toFixed(0)} ms, opened again ${all[1]!.toFixed(0)} ms`,
        };
      }),
  },
];

type Ask = (student: string) => Promise<readonly PassRecord[]>;
type AskPlaces = (student: Student) => Promise<Places>;

async function openPage(student: Student, ask: Ask): Promise<number> {
  const records = new UnitRecords(await ask(student.id));
  const row = deskRow(student, records, TODAY);
  const page = lessonPage({
    student,
    placed: row.placed,
    countedFor: (assignment) => records.asSet(assignment).counted,
    passes: records.passes,
    charts: [chart],
    today: TODAY,
  });
  return page.lines.length;
}

async function table(students: readonly Student[], places: AskPlaces): Promise<number> {
  const rows: DeskRow[] = [];
  for (const student of students) {
    const told = new Map(await places(student));
    rows.push(rowOf(student, ({ id }) => told.get(id)));
  }
  return rows.sort((a, b) => compareNeeds(a.needs, b.needs)).length;
}

/** A class on a folder of its own, each student with 2,000 passes of two units over fifty days. */
async function withClass<T>(
  use: (ask: Ask, places: AskPlaces, students: readonly Student[]) => Promise<T>,
) {
  const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-bench-'));
  const host = openTestServices(folder);
  try {
    const students = Array.from({ length: STUDENTS }, (_, i) => ({
      ...ownDesk('2031-05-01', '2031-02-15T10:00:00Z'),
      id: `st-${i}`,
      name: `Student ${i}`,
    }));
    for (const [i, { id }] of students.entries()) {
      const entries = diary({
        ...{ until: TODAY, days: 50, passesPerDay: 20, units: 2 },
        ...{ seed: i + 1, prefix: `${id}-` },
      });
      await host.handle('log.append', { desk: id, entries });
    }
    // As over a transport: what is asked comes as text.
    const ask: Ask = async (desk) => {
      const answer = JSON.stringify(await host.handle('log.passes', { desk }));
      return (JSON.parse(answer) as { value: Passes }).value.passes;
    };
    const places: AskPlaces = async ({ id: desk, assignments }) => {
      const query = { desk, asOf: TODAY, assignments };
      const answer = JSON.stringify(await host.handle('log.places', query));
      return (JSON.parse(answer) as { value: Places }).value;
    };
    return await use(ask, places, students);
  } finally {
    host.close();
    fs.rmSync(folder, { recursive: true, force: true });
  }
}

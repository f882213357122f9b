// A teacher's and a student's side for tests: a demo chart, its assignments, a sheet, a report.
import { demoNamed } from '../../../support/demo.ts';
import { listUnits } from '../../../../app/core/units/resolve.ts';
import { composeReport, type PracticeReport } from '../../../../app/core/exchange/desk/report.ts';
import type { TaskSheet } from '../../../../app/core/exchange/desk/task-sheet.ts';
import { assign, OWN_DESK, type Student } from '../../../../app/core/progress/assignment.ts';
import type { PassRecord, PlayedUnit } from '../../../../app/core/model/pass.ts';
import { pass } from '../../log/passes.ts';
import { loggedBar } from '../../../../app/core/units/bars/logged-bars.ts';

export const NOW = '2031-04-10T20:00:00+02:00';
export const chart = demoNamed('low-tide-lanterns');
export const units = listUnits(chart);

let made = 0;
export const newId = (): string => `id-${++made}`;

export const assignments = assign(chart, units.slice(0, 3), {
  at: '2031-04-01T10:00:00+02:00',
  by: 'Ms Tern',
  due: '2031-05-01',
  minutesPerWeek: 60,
  note: 'Slow hands, quick eyes.',
  newId,
});

export const sheet: TaskSheet = {
  written: '2031-04-01T10:05:00+02:00',
  teacher: { name: 'Ms Tern' },
  student: { id: 'student-1', name: 'Ada' },
  charts: [chart],
  assignments,
  comments: [
    { id: 'comment-1', at: '2031-04-01T10:04:00+02:00', by: 'Ms Tern', text: 'Good start.' },
  ],
  words: [],
};

export const emptyDesk: Student = {
  id: OWN_DESK,
  name: '',
  since: '2031-03-01T09:00:00+01:00',
  assignments: [],
  comments: [],
};

/** A pass of the n-th unit. */
export const played = (at: string, unit = 0, wish: Partial<PassRecord> = {}): PassRecord => {
  const { key, name, fingerprint } = units[unit]!;
  return pass(at, {
    chart: { id: chart.id, title: chart.title },
    unit: { key, name, fingerprint },
    ...wish,
  });
};

const bars: Readonly<Record<string, PlayedUnit>> = Object.fromEntries(
  units.map((unit) => [
    unit.fingerprint,
    { fingerprint: unit.fingerprint, bars: unit.bars.map(loggedBar) },
  ]),
);

export const passes: readonly PassRecord[] = [
  played('2031-04-08T18:00:00+02:00', 0, { cold: true }),
  played('2031-04-08T18:01:00+02:00', 0, { source: 'ear', verdict: 'missed' }),
  played('2031-04-09T18:00:00+02:00', 1),
];

export const reportOf = (those: readonly PassRecord[] = passes, now = NOW): PracticeReport =>
  composeReport({
    now,
    student: sheet.student,
    charts: [chart],
    assignments,
    passes: those,
    units: bars,
  });

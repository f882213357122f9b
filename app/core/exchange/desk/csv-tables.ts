// The teacher's desk as CSV: one line per assignment, with where it stands.
import type { Student } from '../../progress/assignment.ts';
import { type HelpNeed, type Placed, sayNeed } from '../../progress/help.ts';
import type { OwnedTempo } from '../../progress/owned-tempo.ts';
import { type Cell, writeCsv } from './csv.ts';

const HEADER = [
  'student',
  'chart',
  'unit',
  'target',
  'beat',
  'due',
  'minutes a week',
  'minutes this week',
  'owned tempo',
  'owned from',
  'owned to',
  'owned is',
  'passes counted',
  'share clean',
  'last practised',
  'needs help',
  'given',
  'revisions',
  'note',
] as const;

export interface DeskRow {
  readonly student: Student;
  readonly placed: readonly Placed[];
  readonly needs: readonly HelpNeed[];
}

export const deskCsv = (rows: readonly DeskRow[]): string =>
  writeCsv(
    HEADER,
    rows.flatMap((row) => row.placed.map((placed) => assignmentRow(row, placed))),
  );

function assignmentRow({ student, needs }: DeskRow, placed: Placed): Cell[] {
  const { assignment, standing } = placed;
  const { rules, due, minutesPerWeek, note } = assignment.terms;
  const need = needs.find((one) => one.placed === placed);
  return [
    student.name,
    assignment.chart.title,
    assignment.unit.name,
    rules.target,
    rules.beat,
    due,
    minutesPerWeek,
    rounded(standing.minutesThisWeek),
    ...ownedCells(standing.owned),
    standing.owned.evidence.passes,
    standing.shareClean === undefined ? undefined : rounded(standing.shareClean),
    standing.lastPractised,
    need && sayNeed(need.reason),
    assignment.given,
    assignment.earlier.length,
    note,
  ];
}

/** Tempo, interval, and what the figure is: a bare number would claim more than is known. */
function ownedCells(owned: OwnedTempo): Cell[] {
  switch (owned.kind) {
    case 'number':
      return [rounded(owned.bpm), rounded(owned.low), rounded(owned.high), 'estimate'];
    case 'at-least':
      return [rounded(owned.bpm), undefined, undefined, 'at least'];
    case 'below':
      return [rounded(owned.bpm), undefined, undefined, 'below'];
    case 'not-enough':
      return [undefined, undefined, undefined, 'not enough passes yet'];
  }
}

const rounded = (value: number): number => Math.round(value * 100) / 100;

// The teacher's desk as CSV: one line per assignment, with where it stands.
import type { Student } from '../../progress/assignment.ts';
import { type Placed, sayNeed } from '../../progress/help.ts';
import type { OwnedTempo } from '../../progress/owned-tempo.ts';
import type { DeskRow } from '../../progress/placing.ts';
import { type Cell, type CsvForm, writeCsv } from './csv.ts';

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
  'passes on other bars',
  'share clean',
  'last practised',
  'needs help',
  'given',
  'revisions',
  'note',
] as const;

/** @param labelOf names that tell two students of one name apart. A student without anything set has a line, too. */
export const deskCsv = (
  rows: readonly DeskRow[],
  labelOf: (student: Student) => string,
  form?: CsvForm,
): string =>
  writeCsv(
    HEADER,
    rows.flatMap((row) => {
      const name = labelOf(row.student);
      const lines = row.placed.map((placed) => assignmentRow(name, row, placed));
      return lines.length > 0 ? lines : [[name, ...HEADER.slice(1).map(() => undefined)]];
    }),
    form,
  );

function assignmentRow(name: string, { needs }: DeskRow, placed: Placed): Cell[] {
  const { assignment, standing } = placed;
  const { rules, due, minutesPerWeek, note } = assignment.terms;
  const need = needs.find((one) => one.placed === placed);
  return [
    name,
    assignment.chart.title,
    assignment.unit.name,
    rules.target,
    rules.beat,
    due,
    minutesPerWeek,
    rounded(standing.minutesThisWeek),
    ...ownedCells(standing.owned),
    standing.owned.evidence.passes,
    placed.other.reduce((sum, { passes }) => sum + passes, 0),
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

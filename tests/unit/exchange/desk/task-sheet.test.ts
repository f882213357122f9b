// Task sheets: out and in, what one would add or change, and merging it.
import { describe, expect, it } from 'vitest';
import {
  mergeTaskSheet,
  previewTaskSheet,
} from '../../../../app/core/exchange/desk/task-sheet-merge.ts';
import { readTaskSheet, writeTaskSheet } from '../../../../app/core/exchange/desk/task-sheet.ts';
import { revise } from '../../../../app/core/progress/assignment.ts';
import { settlePasses } from '../../../../app/core/log/history.ts';
import { wordOn } from '../../../../app/core/log/teachers-word.ts';
import { unwrap } from '../../../../app/core/base/result.ts';
import { assignments, chart, emptyDesk, NOW, passes, sheet } from './example.ts';

const holding = { desk: emptyDesk, charts: [], passes };
const merged = mergeTaskSheet(holding, sheet);
const after = { desk: merged.desk, charts: merged.charts, passes };
const raised = (bpm: number) =>
  assignments.map((one, i) =>
    i === 0
      ? revise(
          one,
          { ...one.terms, rules: { ...one.terms.rules, target: bpm } },
          '2031-04-05T10:00:00Z',
        )
      : one,
  );

describe('a task sheet', () => {
  it('comes back as it was written', () => {
    expect(unwrap(readTaskSheet(writeTaskSheet(sheet), NOW))).toEqual({
      content: sheet,
      warnings: [],
    });
  });

  it('says before it is taken in that everything is new', () => {
    const preview = previewTaskSheet(holding, sheet);
    expect(preview.charts.map(({ change }) => change)).toEqual(['new']);
    expect(preview.assignments.map(({ change }) => change.kind)).toEqual(['new', 'new', 'new']);
    expect(preview.newComments).toHaveLength(1);
    expect(preview.nothing).toBe(false);
  });

  it('brings its chart, assignments and comments', () => {
    expect(merged.charts).toEqual([chart]);
    expect(merged.desk.assignments).toEqual(assignments);
    expect(merged.desk.comments).toEqual(sheet.comments);
  });

  it('changes nothing when it is taken in again', () => {
    expect(previewTaskSheet(after, sheet).nothing).toBe(true);
    expect(mergeTaskSheet(after, sheet)).toEqual({ desk: merged.desk, charts: [], entries: [] });
  });

  it('shows a revised target in words and keeps the old terms', () => {
    const revised = { ...sheet, written: '2031-04-05T10:00:00Z', assignments: raised(111) };
    const [first] = previewTaskSheet(after, revised).assignments;
    const before = assignments[0]!.terms.rules.target;
    expect(first!.change).toEqual({ kind: 'changed', differences: [`target ${before} → 111`] });

    const twice = mergeTaskSheet(after, revised).desk;
    expect(twice.assignments[0]!.terms.rules.target).toBe(111);
    expect(twice.assignments[0]!.earlier.map(({ terms }) => terms.rules.target)).toEqual([before]);
  });

  it('does not let an older sheet undo a newer one', () => {
    const revised = { ...sheet, written: '2031-04-05T10:00:00Z', assignments: raised(111) };
    const newer = { ...after, desk: mergeTaskSheet(after, revised).desk };
    expect(previewTaskSheet(newer, sheet).assignments[0]!.change).toEqual({ kind: 'older' });
    expect(mergeTaskSheet(newer, sheet).desk).toEqual(newer.desk);
  });

  it('takes an assignment back but keeps it as history', () => {
    const withdrawn = '2031-04-06T10:00:00Z';
    const taken = { ...sheet, assignments: [{ ...assignments[0]!, withdrawn }] };
    expect(previewTaskSheet(after, taken).assignments[0]!.change.kind).toBe('withdrawn');
    const { desk } = mergeTaskSheet(after, taken);
    expect(desk.assignments).toHaveLength(3);
    expect(desk.assignments[0]).toMatchObject({ withdrawn });
  });

  it('brings the teacher’s verdicts to the passes of the log, once, and says which it cannot place', () => {
    const given = { verdict: 'missed', remark: 'Late thumb.', by: 'Ms Tern', now: NOW } as const;
    const word = wordOn(passes[0]!, given);
    const spoken = { ...sheet, words: [word, { ...word, amends: 'played elsewhere' }] };
    expect(unwrap(readTaskSheet(writeTaskSheet(spoken), NOW)).content).toEqual(spoken);
    const preview = previewTaskSheet(after, spoken);
    expect(preview).toMatchObject({ nothing: false, strayWords: 1 });
    expect(preview.newWords).toEqual([{ pass: passes[0], word }]);

    const { entries } = mergeTaskSheet(after, spoken);
    expect(entries).toEqual([{ kind: 'amendment', amendment: word }]);
    const told = settlePasses(passes, [word]);
    expect(previewTaskSheet({ ...after, passes: told }, spoken).nothing).toBe(true);

    const back = wordOn(told[0]!, { ...given, verdict: 'as-before', now: '2031-04-11T10:00:00Z' });
    const later = { ...sheet, words: [back] };
    expect(mergeTaskSheet({ ...after, passes: told }, later).entries).toEqual([
      { kind: 'amendment', amendment: back },
    ]);
  });

  it('of version 1, which had no verdicts, is read as one without any', () => {
    const file = JSON.parse(writeTaskSheet(sheet)) as Record<string, unknown>;
    const old = JSON.stringify({ ...file, words: undefined, schemaVersion: 1 });
    expect(unwrap(readTaskSheet(old, NOW)).content).toEqual(sheet);
  });

  it('replaces a chart that differs, unless the player keeps theirs', () => {
    const mine = { ...chart, title: 'My own words' };
    const here = { ...holding, charts: [mine] };
    expect(previewTaskSheet(here, sheet).charts[0]!.change).toBe('changed');
    expect(mergeTaskSheet(here, sheet).charts).toEqual([chart]);
    expect(mergeTaskSheet(here, sheet, new Set([chart.id])).charts).toEqual([]);
  });
});

// Practice reports: what they hold, and merging them into a desk with many students.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type DeskHolding, mergeReport } from '../../../../app/core/exchange/desk/report-merge.ts';
import { readReport, writeReport } from '../../../../app/core/exchange/desk/report.ts';
import { settle } from '../../../support/settle.ts';
import type { LogEntry, PassRecord } from '../../../../app/core/model/pass.ts';
import type { Student } from '../../../../app/core/progress/assignment.ts';
import { wordOn } from '../../../../app/core/log/teachers-word.ts';
import { unwrap } from '../../../../app/core/base/result.ts';
import { chart, NOW, passes, played, reportOf } from './example.ts';

const nobody: DeskHolding = { student: undefined, passes: [], charts: [] };

/** Takes a report in as the desk does: entries go to the student's log, which settles them. */
function takeIn(holding: DeskHolding, log: readonly LogEntry[], report = reportOf()) {
  const merged = mergeReport(holding, report);
  const entries = [...log, ...merged.entries];
  return {
    merged,
    entries,
    holding: {
      student: merged.student,
      passes: settle(entries),
      charts: [...holding.charts, ...merged.newCharts],
    },
  };
}

describe('a practice report', () => {
  it('comes back as it was written', () => {
    const report = reportOf();
    expect(unwrap(readReport(writeReport(report), NOW))).toEqual({ content: report, warnings: [] });
  });

  it('holds passes, owned tempos and who judged', () => {
    const report = reportOf();
    expect(report.passes.map(({ source }) => source)).toEqual(['self', 'ear', 'self']);
    expect(report.owned).toHaveLength(2);
    expect(report.owned[0]!.owned.evidence.judgedBy).toMatchObject({ ear: 1 });
    expect(report.units.map((unit) => unit.fingerprint)).toEqual([
      passes[0]!.unit.fingerprint,
      passes[2]!.unit.fingerprint,
    ]);
  });
});

describe('mergeReport', () => {
  it('makes a new student with their passes and charts', () => {
    const { merged, holding } = takeIn(nobody, []);
    expect(merged).toMatchObject({
      newPasses: 3,
      newAssignments: 3,
      changedVerdicts: 0,
      nothing: false,
    });
    expect(merged.student).toMatchObject({ id: 'student-1', name: 'Ada' });
    expect(merged.newCharts).toEqual([chart]);
    expect(holding.passes).toEqual(passes);
  });

  it('changes nothing the second time', () => {
    const once = takeIn(nobody, []);
    const twice = takeIn(once.holding, once.entries);
    expect(twice.merged).toMatchObject({ nothing: true, newPasses: 0, entries: [] });
    expect(twice.holding).toEqual(once.holding);
  });

  it('warns where it is known as another student’s, and does not take them for one from then on', () => {
    const other: Student = {
      ...{ id: 'student-2', name: 'Ada', since: NOW },
      ...{ assignments: [], comments: [] },
    };
    const merged = mergeReport(
      { ...nobody, student: other, owner: 'Ada (1)' },
      reportOf(),
      other.id,
    );
    expect(merged.warnings.map(({ message }) => message)).toEqual([
      'This report is of Ada (1). Its passes would stand in the log of the other Ada.',
    ]);
    expect(merged.student.reportsAs).toBeUndefined();
    const unknown = mergeReport({ ...nobody, student: other }, reportOf(), other.id);
    expect(unknown.warnings).toEqual([]);
    expect(unknown.student.reportsAs).toEqual(['student-1']);
  });

  it('takes a verdict the student changed since as a later word', () => {
    const once = takeIn(nobody, []);
    const changed = passes.map((pass, i) =>
      i === 2 ? { ...pass, verdict: 'missed' as const } : pass,
    );
    const later = takeIn(
      once.holding,
      once.entries,
      reportOf(changed, '2031-04-11T20:00:00+02:00'),
    );
    expect(later.merged).toMatchObject({ changedVerdicts: 1, newPasses: 0 });
    expect(later.holding.passes[2]).toMatchObject({ verdict: 'missed' });
  });

  it('never lets an older report undo a newer one, but takes the passes it brings', () => {
    const later = takeIn(nobody, [], reportOf(passes.slice(1), '2031-04-11T20:00:00+02:00'));
    const changed = passes.map((pass) => ({ ...pass, verdict: 'missed' as const }));
    const older = takeIn(later.holding, later.entries, reportOf(changed, NOW));
    expect(older.merged).toMatchObject({ changedVerdicts: 0, newPasses: 1 });
    expect(older.merged.warnings.map(({ code }) => code)).toEqual(['report-not-newer']);
    expect(older.holding.student.lastReport).toBe('2031-04-11T20:00:00+02:00');
  });

  it("lets the teacher's own word stand", () => {
    const once = takeIn(nobody, []);
    const word = { amends: passes[0]!.id, at: NOW, verdict: 'missed', source: 'teacher' } as const;
    const entries = [...once.entries, { kind: 'amendment', amendment: word } as const];
    const desk = { ...once.holding, passes: settle(entries) };
    expect(mergeReport(desk, reportOf(passes, '2031-04-12T20:00:00+02:00')).entries).toEqual([]);
  });

  it('does not bring back a word that the teacher has taken back since it was told', () => {
    const once = takeIn(nobody, []);
    const said = (pass: PassRecord, verdict: 'missed' | 'as-before', now: string): LogEntry => ({
      kind: 'amendment',
      amendment: wordOn(pass, { verdict, remark: '', by: '', now }),
    });
    const entries = [...once.entries, said(passes[0]!, 'missed', NOW)];
    const told = settle(entries);
    const back = [...entries, said(told[0]!, 'as-before', '2031-04-11T20:00:00+02:00')];
    const desk = { ...once.holding, passes: settle(back) };
    // The student has taken the word in and reports the pass with it.
    const echo = reportOf(told, '2031-04-12T20:00:00+02:00');
    expect(mergeReport(desk, echo).entries).toEqual([]);
    expect(mergeReport({ ...desk, passes }, echo).changedVerdicts).toBe(1);
  });

  it('keeps a word apart from the pass when the report comes to a desk that knows neither', () => {
    const word = { verdict: 'missed', remark: 'Late thumb.', by: 'Ms Tern', now: NOW } as const;
    const [first] = settle([
      ...mergeReport(nobody, reportOf()).entries.slice(0, 1),
      { kind: 'amendment', amendment: wordOn(passes[0]!, word) },
    ]);
    const { entries } = mergeReport(nobody, reportOf([first!]));
    expect(entries[0]).toMatchObject({ kind: 'pass', pass: passes[0]! });
    expect(settle(entries)).toEqual([first]);
  });

  it("never replaces the teacher's chart", () => {
    const mine = { ...chart, title: 'With my corrections' };
    expect(mergeReport({ ...nobody, charts: [mine] }, reportOf()).newCharts).toEqual([]);
  });

  it('comes to the same passes in whatever order and however often reports arrive', () => {
    const all = Array.from({ length: 8 }, (_, i) => played(`2031-04-0${i + 1}T18:00:00+02:00`));
    const reports = [all.slice(0, 3), all.slice(2, 6), all.slice(5)].map((those, i) =>
      reportOf(those, `2031-04-1${i}T20:00:00+02:00`),
    );
    const order = fc.array(fc.constantFrom(0, 1, 2), { maxLength: 6 });
    fc.assert(
      fc.property(order, (extra) => {
        let state: { holding: DeskHolding; entries: readonly LogEntry[] } = {
          holding: nobody,
          entries: [],
        };
        for (const i of [...extra, 2, 0, 1]) {
          state = takeIn(state.holding, state.entries, reports[i]!);
        }
        expect(state.holding.passes).toEqual(all);
      }),
    );
  });
});

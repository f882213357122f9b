// Task sheets and reports that are broken, foreign, newer, hostile or wrongly dated: named and refused whole,
// or taken with a warning.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { writeChartFile } from '../support/chart-file.ts';
import { mergeReport } from '../../app/core/exchange/desk/report-merge.ts';
import { readReport, writeReport } from '../../app/core/exchange/desk/report.ts';
import {
  readTaskSheet,
  taskSheetForm,
  writeTaskSheet,
} from '../../app/core/exchange/desk/task-sheet.ts';
import { practiceDays } from '../../app/core/log/days.ts';
import { ownedTempo } from '../../app/core/progress/owned-tempo.ts';
import { unwrap } from '../../app/core/base/result.ts';
import {
  assignments,
  chart,
  NOW,
  passes,
  played,
  reportOf,
  sheet,
} from '../unit/exchange/desk/example.ts';

type Json = Record<string, unknown>;

const sheetText = writeTaskSheet(sheet);
const reportText = writeReport(reportOf());
const sheetWith = (change: Json): string => JSON.stringify({ ...JSON.parse(sheetText), ...change });
const reportWith = (change: Json): string =>
  JSON.stringify({ ...JSON.parse(reportText), ...change });

/** The codes of a refusal; a file that was accepted fails the test. */
function refusal(result: ReturnType<typeof readTaskSheet> | ReturnType<typeof readReport>) {
  if (result.ok) throw new Error('the file was accepted');
  for (const problem of result.problems) {
    expect(problem.message.length).toBeGreaterThan(10);
    expect(problem.cure.length).toBeGreaterThan(5);
  }
  return result.problems.map(({ code }) => code);
}
const warnings = (result: ReturnType<typeof readReport>): string[] =>
  unwrap(result).warnings.map(({ code }) => code);

describe('broken files', () => {
  it.each([
    ['an empty file', ''],
    ['text that is no JSON', 'Dear teacher,'],
    ['a JSON list', '[]'],
    ['JSON null', 'null'],
    ['a number', '7'],
  ])('refuses %s', (_, text) => {
    expect(refusal(readTaskSheet(text, NOW))).toHaveLength(1);
    expect(refusal(readReport(text, NOW))).toHaveLength(1);
  });

  it('refuses a file cut off anywhere', () => {
    const cut = fc.integer({ min: 0, max: reportText.trimEnd().length - 1 });
    fc.assert(
      fc.property(cut, (length) => {
        expect(refusal(readReport(reportText.slice(0, length), NOW))).toEqual(['file-unreadable']);
      }),
    );
  });

  it('never throws and never half-reads, whatever one value is replaced by', () => {
    const paths = [['assignments', 0], ['charts', 0], ['comments', 0], ['student'], ['written']];
    fc.assert(
      fc.property(fc.constantFrom(...paths), fc.jsonValue(), (path, value) => {
        const file = JSON.parse(sheetText) as Json;
        const [list, index] = path as [string, number?];
        if (index === undefined) file[list] = value;
        else (file[list] as unknown[])[index] = value;
        const read = readTaskSheet(JSON.stringify(file), NOW);
        expect(read.ok).toBe(false);
      }),
    );
  });

  it('refuses keys that reach for a prototype', () => {
    const hostile = sheetText.replace('"teacher":', '"__proto__": {"polluted": true}, "teacher":');
    expect(refusal(readTaskSheet(hostile, NOW))).toEqual(['file-hostile']);
    expect({}).not.toHaveProperty('polluted');
  });

  it('refuses bottomless nesting without running out of stack', () => {
    const deep = '{"format":'.repeat(100_000);
    expect(refusal(readReport(deep, NOW))).toEqual(['file-deep']);
  });
});

describe('files of another kind or version', () => {
  it('refuses a chart, and a sheet where a report is meant', () => {
    expect(refusal(readTaskSheet(writeChartFile(chart), NOW))).toEqual(['file-format']);
    expect(refusal(readReport(sheetText, NOW))).toEqual(['file-format']);
    expect(refusal(readTaskSheet(reportText, NOW))).toEqual(['file-format']);
  });

  it('names a newer version and says what to do', () => {
    const newer = readTaskSheet(sheetWith({ schemaVersion: taskSheetForm.schemaVersion + 1 }), NOW);
    expect(newer).toMatchObject({
      ok: false,
      problems: [{ code: 'file-newer', cure: expect.stringContaining('Update') }],
    });
  });

  it.each([[undefined], [0], [1.5], ['1'], [null]])('refuses the version %o', (schemaVersion) => {
    expect(refusal(readReport(reportWith({ schemaVersion }), NOW))).toEqual(['file-version']);
  });

  it('refuses keys it does not know: a newer form would have said so', () => {
    expect(refusal(readReport(reportWith({ extra: [] }), NOW))).toEqual(['file-data']);
  });
});

describe('impossible dates and figures', () => {
  const assignment = (change: Json): string =>
    sheetWith({ assignments: [{ ...assignments[0]!, ...change }] });
  const due = (date: string): string =>
    assignment({ terms: { ...assignments[0]!.terms, due: date } });

  it.each(['2031-02-29', '2031-13-01', '2031-00-10', '2031-4-1', '31.05.2031', ''])(
    'refuses the due date ‘%s’',
    (date) => expect(refusal(readTaskSheet(due(date), NOW))).toEqual(['file-data']),
  );

  it('takes 29 February of a leap year', () => {
    expect(readTaskSheet(due('2032-02-29'), NOW).ok).toBe(true);
  });

  it.each([
    '2031-04-01T25:00:00Z',
    '2031-04-01T10:61:00Z',
    '2031-02-30T10:00:00+02:00',
    '2031-04-01T10:00:00',
    'yesterday',
  ])('refuses the time ‘%s’', (at) => {
    expect(refusal(readReport(reportWith({ passes: [{ ...passes[0]!, at }] }), NOW))).toEqual([
      'file-data',
    ]);
  });

  it('refuses tempos beyond sense and numbers that are none', () => {
    const rung = JSON.stringify({ ...passes[0]!.rung, bpm: 0 }).replace('"bpm":0', '"bpm":1e999');
    const text = reportWith({ passes: [{ ...passes[0]!, rung: 'RUNG' }] }).replace('"RUNG"', rung);
    expect(refusal(readReport(text, NOW))).toContain('file-data');
  });

  it('refuses an assignment whose unit has two names', () => {
    const unit = { ...assignments[0]!.unit, key: 'section:Elsewhere' };
    expect(refusal(readTaskSheet(assignment({ unit }), NOW))).toEqual(['file-data']);
  });
});

describe('files beyond any lesson', () => {
  const bar = { content: { kind: 'chords', chords: [] } };
  const withBars = (count: number): string =>
    sheetWith({
      charts: [{ ...chart, sections: [{ name: 'Verse', bars: Array(count).fill(bar) }] }],
    });

  it('refuses a million bars by the size of the file', () => {
    expect(refusal(readTaskSheet(withBars(1_000_000), NOW))).toEqual(['file-large']);
  });

  it('refuses a chart of more bars than a section may have', () => {
    expect(refusal(readTaskSheet(withBars(100_000), NOW))).toContain('file-data');
  });

  it('refuses a report of more passes than anyone plays', () => {
    const text = reportWith({ passes: 'PASSES' }).replace(
      '"PASSES"',
      `[${'0,'.repeat(1_000_001)}0]`,
    );
    expect(refusal(readReport(text, NOW))).toContain('file-data');
  });
});

describe('duplicates and loose ends', () => {
  it.each([
    ['assignments', sheetWith({ assignments: [assignments[0], assignments[0]] })],
    ['charts', sheetWith({ charts: [chart, chart] })],
    ['comments', sheetWith({ comments: [sheet.comments[0], sheet.comments[0]] })],
  ])('refuses %s with one identity twice', (_, text) => {
    expect(refusal(readTaskSheet(text, NOW))).toEqual(['duplicate-id']);
  });

  it('refuses two verdicts of the teacher on one pass, and one that no teacher gave', () => {
    const word = { amends: 'p', at: NOW, verdict: 'missed', source: 'teacher' };
    expect(refusal(readTaskSheet(sheetWith({ words: [word, word] }), NOW))).toEqual([
      'duplicate-id',
    ]);
    const own = { ...word, source: 'self' };
    expect(refusal(readTaskSheet(sheetWith({ words: [own] }), NOW))).toContain('file-data');
  });

  it('refuses passes with one identity twice', () => {
    const text = reportWith({ passes: [passes[0], { ...passes[1]!, id: passes[0]!.id }] });
    expect(refusal(readReport(text, NOW))).toEqual(['duplicate-id']);
  });

  it('refuses a sheet without the chart it needs, and a report without the bars', () => {
    expect(refusal(readTaskSheet(sheetWith({ charts: [] }), NOW))).toEqual(['chart-missing']);
    expect(refusal(readReport(reportWith({ units: [] }), NOW))).toEqual(['bars-missing']);
  });
});

describe('clocks and zones', () => {
  it('takes passes dated ahead with a warning; they do not count before their day', () => {
    const ahead = played('2031-06-01T10:00:00+02:00');
    const read = readReport(writeReport(reportOf([...passes, ahead])), NOW);
    expect(warnings(read)).toEqual(['clock-ahead']);
    const merged = mergeReport(
      { student: undefined, passes: [], charts: [] },
      unwrap(read).content,
    );
    expect(merged.newPasses).toBe(4);
    expect(ownedTempo([ahead], 'quarter', '2031-04-10').evidence.passes).toBe(0);
  });

  it('does not mind a clock a few minutes fast, nor another zone', () => {
    const zones = [
      '2031-04-10T20:05:00+02:00',
      '2031-04-11T07:30:00+13:30',
      '2031-04-10T06:00:00-12:00',
    ];
    const read = readReport(writeReport(reportOf(zones.map((at) => played(at)))), NOW);
    expect(warnings(read)).toEqual([]);
  });

  it('warns of a report and a sheet written in the future', () => {
    const late = '2033-01-01T00:00:00Z';
    expect(warnings(readReport(reportWith({ written: late }), NOW))).toEqual(['clock-ahead']);
    const read = unwrap(readTaskSheet(sheetWith({ written: late }), NOW));
    expect(read.warnings.map(({ code }) => code)).toEqual(['clock-ahead', 'due-before-written']);
  });

  it('counts practice days across a summer-time jump by each pass’s own clock', () => {
    // Central Europe, last Sunday of October 2031: 02:30 comes twice, first at +02:00, then at +01:00.
    const night = [
      '2031-10-25T23:30:00+02:00',
      '2031-10-26T02:30:00+02:00',
      '2031-10-26T02:30:00+01:00',
    ].map((at) => played(at));
    const { content } = unwrap(
      readReport(writeReport(reportOf(night, '2031-10-27T09:00:00+01:00')), NOW),
    );
    expect(content.passes.map(({ at }) => at)).toEqual(night.map(({ at }) => at));
    expect(practiceDays(content.passes).map(({ passes: n }) => n)).toEqual([1, 2]);
  });
});

// Chart files and chart texts that are broken, hostile or too new: a named problem, never an exception.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readChartFile } from '../../app/core/chart/chart-file.ts';
import { writeChartFile } from '../support/chart-file.ts';
import { demoNamed } from '../support/demo.ts';
import { runs } from '../support/runs.ts';
import type { Chart } from '../../app/core/model/chart.ts';
import { parseChart, readTypedChart } from '../../app/core/chart/notation/parse.ts';
import { printChart } from '../../app/core/chart/notation/print.ts';
import { parseStrum } from '../../app/core/rhythm/strum.ts';
import type { Problem } from '../../app/core/base/result.ts';
import { charts } from '../unit/chart/arbitrary.ts';

const demo = demoNamed('copper-staircase');
const file = writeChartFile(demo);

const problemsOf = (text: string): readonly Problem[] => {
  const result = readChartFile(text);
  return result.ok ? [] : result.problems;
};
const codesOf = (text: string): string[] => problemsOf(text).map((problem) => problem.code);

/** The demo chart's file with one value changed by hand; undefined takes it out. */
function edited(path: string, value: unknown): string {
  const envelope: unknown = JSON.parse(file);
  const keys = ['chart', ...path.split('.')];
  let here = envelope as Record<string, unknown>;
  for (const key of keys.slice(0, -1)) here = here[key] as Record<string, unknown>;
  here[keys.at(-1)!] = value;
  return JSON.stringify(envelope);
}

test('any chart that holds comes back from its file as it was', () => {
  fc.assert(
    fc.property(charts, (body) => {
      const chart: Chart = { id: 'any', ...body };
      expect(readChartFile(writeChartFile(chart))).toEqual({ ok: true, value: chart });
    }),
    { numRuns: runs(20, 2_000) },
  );
});

describe('files that are no chart', () => {
  test.each([
    ['nothing', '', 'file-unreadable'],
    ['no JSON', '<chart/>', 'file-unreadable'],
    ['JSON of something else', '{"format":"song"}', 'file-format'],
    ['a list', '[1, 2]', 'file-format'],
    ['null', 'null', 'file-format'],
    ['no version', '{"format":"rungwise-chart"}', 'file-version'],
    ['a version in words', '{"format":"rungwise-chart","schemaVersion":"1"}', 'file-version'],
    ['a newer version', file.replace('"schemaVersion": 1', '"schemaVersion": 2'), 'file-newer'],
    ['no chart inside', '{"format":"rungwise-chart","schemaVersion":1}', 'chart-data'],
  ])('%s', (_, text, code) => {
    expect(codesOf(text)).toEqual([code]);
  });

  test('cut off anywhere', () => {
    fc.assert(
      fc.property(fc.integer({ min: 0, max: file.length - 3 }), (length) => {
        expect(codesOf(file.slice(0, length))).toEqual(['file-unreadable']);
      }),
    );
  });

  test('50 MB', () => {
    expect(codesOf(`${file}${' '.repeat(50_000_000)}`)).toEqual(['file-large']);
  });

  test('a million brackets', () => {
    expect(codesOf('['.repeat(1_000_000))).toEqual(['file-deep']);
    expect(codesOf(`{"a":`.repeat(200_000))).toEqual(['file-deep']);
  });

  test('brackets inside words are not nesting', () => {
    const text = edited('title', `${'['.repeat(50)}"\\`);
    expect(codesOf(text)).toEqual([]);
  });

  test.each(['__proto__', 'constructor', 'prototype'])('a %s', (key) => {
    const hostile = file.replace('"title"', `"${key}": {"polluted": true}, "title"`);
    expect(codesOf(hostile)).toEqual(['file-hostile']);
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
  });
});

describe('charts that do not hold', () => {
  const firstChord = 'sections.1.bars.0.content.chords.0.at';

  test.each<[string, string, unknown, Partial<Problem>]>([
    [
      'a tempo below 20',
      'tempo.bpm',
      19,
      { code: 'chart-data', message: 'tempo, bpm is below 20' },
    ],
    [
      'a tempo of a section above 400',
      'sections.1.tempo',
      { bpm: 401, beat: 'quarter' },
      { message: '‘Verse’, tempo, bpm is above 400' },
    ],
    ['a tempo without its note', 'tempo.beat', undefined, { message: 'tempo, beat is missing' }],
    [
      'a chord after the end of its bar',
      firstChord,
      { n: 4, d: 1 },
      {
        code: 'bar-length',
        message: 'bar 1 of ‘Verse’ has Bm after 4 quarter notes, but lasts 4; the meter is 4/4',
      },
    ],
    [
      'a position that is no number of anything',
      firstChord,
      { n: 1, d: 0 },
      { message: '‘Verse’, bar 1, chord 1, at, d is below 1' },
    ],
    ['a position far outside', firstChord, { n: 1e300, d: 1e300 }, { code: 'chart-data' }],
    [
      'a position out of lowest terms',
      firstChord,
      { n: 2, d: 2 },
      { message: '‘Verse’, bar 1, chord 1, at is not in lowest terms' },
    ],
    [
      'a bar of a billion beats',
      'sections.1.bars.0.meter',
      { numerator: 1e9, unit: 4, grouping: [1e9] },
      { message: '‘Verse’, bar 1, meter, numerator is above 24' },
    ],
    [
      'groups that do not make the meter',
      'meter.grouping',
      [3, 2],
      { code: 'meter-grouping', message: 'the groups 3+2 make 5; the meter is 4/4' },
    ],
    [
      'an empty section',
      'sections.2.bars',
      [],
      { code: 'section-bars', message: '‘Lift’ has no bars' },
    ],
    ['a form of sections that are not there', 'form.2.section', 'Coda', { code: 'form-section' }],
    ['no form', 'form', [], { code: 'form-entries' }],
    [
      'five strings',
      'tuning.strings',
      [40, 45, 50, 55, 59],
      { message: 'tuning, strings is below 6 items' },
    ],
    [
      'a field of nobody',
      'sections.0.shade',
      'dark',
      { message: '‘Intro’ has “shade”, which this program does not know' },
    ],
    ['an identity that walks away', 'id', '../../etc', { code: 'chart-data' }],
    ['words for a list', 'sections', 'many', { message: 'sections should be a list' }],
    ['a billion repeats', 'sections.3.bars.3.repeatEnd', 1e9, { code: 'chart-data' }],
  ])('%s', (_, path, value, problem) => {
    const [first] = problemsOf(edited(path, value));
    expect(first).toMatchObject(problem);
    expect(first!.cure).not.toBe('');
  });

  test('a million bars are refused by their number, not tried', () => {
    const text = `{"format":"rungwise-chart","schemaVersion":1,"chart":{"sections":[{"name":"A","bars":[${'1,'.repeat(900_000)}1]}]}}`;
    expect(codesOf(text)).toContain('chart-data');
    expect(problemsOf(text).length).toBeLessThanOrEqual(20);
  });
});

describe('typed text', () => {
  const signs = fc.constantFrom(
    ...'|:|/. %()[]{}=,#\n\tGDEmx123♩♭',
    'title:',
    'tempo: q = 100\n',
    'meter: 7/8\n',
    '[Verse]\n',
    'form:\n',
    'pickup ',
    'ending ',
    '|1. ',
    ':| x3 ',
    '{eighths D-}',
  );

  test('whatever is typed, reading it ends with a chart or with problems that have a place and a cure', () => {
    fc.assert(
      fc.property(fc.array(signs, { maxLength: 80 }), (parts) => {
        const result = parseChart(parts.join(''));
        if (result.ok) {
          expect(parseChart(printChart(result.value))).toEqual(result);
          return;
        }
        expect(result.problems.length).toBeGreaterThan(0);
        for (const { message, cure, span } of result.problems) {
          expect(message).not.toBe('');
          expect(cure).not.toBe('');
          expect(span!.line).toBeGreaterThanOrEqual(1);
          expect(span!.column).toBeGreaterThanOrEqual(1);
        }
      }),
      { numRuns: 500 },
    );
  });

  test('a good chart with one sign taken out, doubled or replaced', () => {
    const text = printChart(demo);
    fc.assert(
      fc.property(fc.nat(text.length - 1), fc.constantFrom('', '|', '(', '9', '\n'), (at, sign) => {
        const result = parseChart(text.slice(0, at) + sign + text.slice(at + 1));
        if (result.ok) expect(parseChart(printChart(result.value))).toEqual(result);
        else expect(result.problems[0]!.span).toBeDefined();
      }),
      { numRuns: runs(60, 5_000) },
    );
  });

  const bridge = (bars: string) => parseChart(`title: T\ntempo: 100\n[Bridge]\n${bars}`);
  const codesTyped = (bars: string): string[] => {
    const result = bridge(bars);
    return result.ok ? [] : [...new Set(result.problems.map((problem) => problem.code))];
  };

  test.each([
    ['17 deep and unclosed', '|G / C ' + '(/ C '.repeat(17), ['split-open', 'split-deep']],
    ['as deep as a line is long', '|' + '('.repeat(19_000), ['split-open', 'split-deep']],
    ['deep and closed', `| ${'(G '.repeat(9)}${')'.repeat(9)} |`, ['split-open', 'split-deep']],
    ['6 deep and closed', `| ${'(G '.repeat(6)}${')'.repeat(6)} / / / |`, ['split-nested']],
    ['wide and deep', `| ${`(${'G '.repeat(40)}`.repeat(6)} |`, ['split-open']],
    ['wide', `| (${'G '.repeat(40)}) / / / |`, ['split-parts']],
    ['not closed', '| G (D / / / |', ['split-open']],
    ['closed, never opened', '| G ) / / |', ['sign-unreadable']],
    ['many endings', `|: G |${'1,'.repeat(9_000)}1. C :|2. D |\n`.repeat(20), ['repeat-times']],
    ['a repeat of 999 times', '|: G :| x999', ['repeat-times']],
    ['a symbol of 65 characters', `| C${'7'.repeat(64)} |`, ['chord-signs']],
  ])('splits and counts without end: %s', (_, bars, codes) => {
    expect(codesTyped(bars)).toEqual(codes);
  });

  test('every mistake with splits names its bar', () => {
    const result = bridge('|G / C ' + '(/ C '.repeat(17));
    expect(result).toMatchObject({
      problems: expect.arrayContaining([
        expect.objectContaining({
          message: 'bar 1 of ‘Bridge’ has splits inside splits, more than 6 deep',
          cure: 'Close each split with ) before the next one starts.',
        }),
      ]),
    });
  });

  test('half a million bars, on many lines and on one', () => {
    const head = 'title: T\ntempo: 100\n[A]\n';
    const many = `${head}${'| G | G | G | G |\n'.repeat(110_000)}`;
    expect(parseChart(many)).toMatchObject({ ok: false, problems: [{ code: 'section-bars' }] });
    const one = `${head}${'| G '.repeat(490_000)}`;
    expect(parseChart(one)).toMatchObject({
      ok: false,
      problems: [{ code: 'section-bars' }, { code: 'line-long' }],
    });
  });

  test('a problem in every line of a long text', () => {
    const result = parseChart('nothing of a chart\n'.repeat(100_000));
    expect(result.ok ? [] : result.problems).toHaveLength(201);
    expect(result).toMatchObject({
      problems: expect.arrayContaining([expect.objectContaining({ code: 'problems-more' })]),
    });
  });

  test.each(['part ', 'form: ', '| G ', '{eighths ', 'tempo: ', 'shape '])(
    'a line of spaces after “%s”',
    (start) => {
      const text = `title: T\ntempo: 100\n[A]\n| G |\n${start}${' '.repeat(19_000)}x`;
      expect(typeof parseChart(text).ok).toBe('boolean');
    },
  );

  test.each([
    ['note names', 'C D E F G A B ', 400],
    ['bars of one name', 'C | ', 1_000],
    ['frets alone', '12 ', 1_300],
    ['values in words', '3/5 q ', 600],
    ['short bars', '8 3/5 | ', 500],
    ['notes off the neck', '3/55 ', 800],
    ['notes without bar lines', '3/5 ', 1_000],
  ])(
    'a lead line of %s alone, with every cure worked out',
    (_, sign, times) => {
      const text = `title: T\ntempo: 100\n[A]\n| G | C |\nline: Hook, bar 1\npart One: | ${sign.repeat(times)}|`;
      const { problems } = readTypedChart(text);
      expect(problems.length).toBeGreaterThan(0);
      expect(problems.length).toBeLessThanOrEqual(201);
      for (const { span } of problems)
        expect(span!.column + span!.length).toBeLessThanOrEqual(text.length);
    },
    // Seconds at most on any machine: working out a cure anew at every sign took minutes.
    60_000,
  );

  test('three million characters', () => {
    expect(parseChart('|'.repeat(3_000_000))).toMatchObject({
      ok: false,
      problems: [{ code: 'text-long' }],
    });
  });

  test('a strum of anything never throws', () => {
    fc.assert(
      fc.property(fc.string(), (text) => {
        const result = parseStrum(`eighths ${text}`);
        expect(typeof result.ok).toBe('boolean');
      }),
    );
  });
});

// The text form of a chart: what may be typed, what it means, and that printing is its exact inverse.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { demoCharts } from '../../../app/services/machine/demo-charts.ts';
import type { Bar, ChartBody } from '../../../app/core/model/chart.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { printChart } from '../../../app/core/chart/notation/print.ts';
import { type Problem, unwrap } from '../../../app/core/base/result.ts';
import { runs } from '../../support/runs.ts';
import { charts } from './arbitrary.ts';

/** A chart with one section ‘Bridge’ holding these lines. */
const typed = (lines: string, meter = '4/4'): string =>
  `title: Test\ntempo: q = 100\nmeter: ${meter}\n[Bridge]\n${lines}`;

const barsOf = (lines: string, meter?: string): readonly Bar[] =>
  unwrap(parseChart(typed(lines, meter))).sections[0]!.bars;

/** "G@0 D@2": the chords of a bar with their quarter notes. */
function chordsOf(bar: Bar): string {
  if (bar.content.kind === 'simile') return '%';
  return bar.content.chords
    .map(({ symbol, at }) => `${symbol}@${at.d === 1 ? at.n : `${at.n}/${at.d}`}`)
    .join(' ');
}

function problemsOf(text: string): readonly Problem[] {
  const result = parseChart(text);
  return result.ok ? [] : result.problems;
}

describe('printing and reading are exact inverses', () => {
  test('parse(print(chart)) is the chart, for any chart that holds', () => {
    fc.assert(
      fc.property(charts, (chart) => {
        expect(unwrap(parseChart(printChart(chart)))).toEqual(chart);
      }),
      { numRuns: runs(40, 5_000) },
    );
  });

  test('printing what was typed settles at once', () => {
    for (const chart of demoCharts()) {
      const once = printChart(chart);
      expect(printChart(unwrap(parseChart(once)))).toBe(once);
    }
  });
});

describe('beats of a bar', () => {
  test.each([
    ['a chord alone lasts the bar', '| G |', 'G@0'],
    ['two chords share it evenly', '| G D |', 'G@0 D@2'],
    ['D and C are two chords, not a way back', '| D C |', 'D@0 C@2'],
    ['four chords take a beat each', '| G D Em C |', 'G@0 D@1 Em@2 C@3'],
    ['slashes are beats', '| C / / D |', 'C@0 D@3'],
    ['dots are beats', '| C . . D |', 'C@0 D@3'],
    ['beats may be typed together', '| C // D |', 'C@0 D@3'],
    ['the chord before goes on', '| / / D / |', 'D@2'],
    ['a bar in which it only goes on', '| / |', ''],
    ['a beat split in two', '| G / / (/ D) |', 'G@0 D@7/2'],
    ['a beat split in four', '| G / (. . . D) / |', 'G@0 D@11/4'],
    ['a beat split in three', '| (G D Em) / / / |', 'G@0 D@1/3 Em@2/3'],
    ['slash chords and brackets', '| C7(b9) / G/B / |', 'C7(b9)@0 G/B@2'],
    ['a bracketed chord inside a split', '| (C7(b9) D) / / / |', 'C7(b9)@0 D@1/2'],
    ['silence, however it is typed', '| NC / n.c. / |', 'N.C.@0 N.C.@2'],
  ])('%s', (_, line, expected) => {
    expect(chordsOf(barsOf(line)[0]!)).toBe(expected);
  });

  test.each([
    ['6/8 has two beats', '6/8', '| G D |', 'G@0 D@3/2'],
    ['6/8 may be typed in eighths', '6/8', '| G . . . D . |', 'G@0 D@2'],
    ['12/8 has four', '12/8', '| A / / G |', 'A@0 G@9/2'],
    ['7/8 has three unequal beats', '7/8', '| G D E |', 'G@0 D@1 E@2'],
    ['7/8 as 3+2+2', '7/8 (3+2+2)', '| G D E |', 'G@0 D@3/2 E@5/2'],
    ['a split dotted beat falls on eighths', '6/8', '| G (/ / D) |', 'G@0 D@5/2'],
  ])('%s', (_, meter, line, expected) => {
    expect(chordsOf(barsOf(line, meter)[0]!)).toBe(expected);
  });
});

describe('signs of a section', () => {
  test('a simile, a meter change, a pin and a strum of its own', () => {
    const bars = barsOf('| G[355433] | % | 3/4 D / / {eighths D- DU DU} | A |');
    expect(bars[0]!.content).toEqual({
      kind: 'chords',
      chords: [{ at: { n: 0, d: 1 }, symbol: 'G', shape: [3, 5, 5, 4, 3, 3] }],
    });
    expect(bars[1]!.content).toEqual({ kind: 'simile' });
    expect(bars[2]!.meter).toEqual({ numerator: 3, unit: 4, grouping: [3] });
    expect(bars[2]!.strum?.cells).toHaveLength(6);
    expect(bars[3]!.meter).toBeUndefined();
  });

  test.each([
    ['its length said', '| pickup 1/4 D | G |', 1, 1, 'D@0'],
    ['its length counted', '| pickup / D | G |', 2, 1, 'D@1'],
    ['in eighths', '| pickup 3/8 D / E | G |', 3, 2, 'D@0 E@1'],
    ['in more eighths than needed', '| pickup 2/8 / D | G |', 1, 1, 'D@1/2'],
  ])('a pickup with %s', (_, line, n, d, chords) => {
    const [pickup] = barsOf(line);
    expect(pickup!.pickup).toEqual({ n, d });
    expect(chordsOf(pickup!)).toBe(chords);
  });

  test('repeats: twice, three times, across lines', () => {
    const signs = (bars: readonly Bar[]) => bars.map((bar) => [bar.repeatStart, bar.repeatEnd]);
    const none = undefined;
    expect(signs(barsOf('|: G | D :|'))).toEqual([[true, none], [none, 2]]); // prettier-ignore
    expect(signs(barsOf('|: G | D :| x3'))).toEqual([[true, none], [none, 3]]); // prettier-ignore
    expect(signs(barsOf('|: G |\n| D :| x3 |: C :|'))).toEqual([
      [true, none],
      [none, 3],
      [true, 2],
    ]);
    expect(signs(barsOf('| G | D\n:| C |'))).toEqual([[none, none], [none, 2], [none, none]]); // prettier-ignore
  });

  test('endings, and how often they make the repeat', () => {
    const bars = barsOf('|: G |1,2. C :|3. D | E ||');
    expect(bars.map((bar) => bar.endings)).toEqual([undefined, [1, 2], [3], undefined]);
    expect(bars[1]!.repeatEnd).toBe(3);
  });
});

describe('the head and the form', () => {
  const head = (lines: string): ChartBody =>
    unwrap(parseChart(`title: Test\n${lines}\n[Verse]\n| G |`));

  test.each([
    ['tempo: q = 170', { bpm: 170, beat: 'quarter' }],
    ['tempo: ♩. = 58', { bpm: 58, beat: 'dotted-quarter' }],
    ['tempo: e=200', { bpm: 200, beat: 'eighth' }],
    ['tempo: half = 60', { bpm: 60, beat: 'half' }],
    ['tempo: 96.5', { bpm: 96.5, beat: 'quarter' }],
    ['meter: 6/8\ntempo: 58', { bpm: 58, beat: 'dotted-quarter' }],
  ])('%s', (lines, tempo) => {
    expect(head(lines).tempo).toEqual(tempo);
  });

  test('feel, key, capo, tuning and shapes', () => {
    const chart = head(
      'tempo: 100\nfeel: swing eighths 3:2\nkey: F♯ minor\ncapo: 2\ntuning: low = D2 A2 D3 G3 B3 E4\nshape Bm = x24432',
    );
    expect(chart.feel).toEqual({ kind: 'swing', value: 8, long: 3, short: 2 });
    expect(chart).toMatchObject({ key: 'F♯ minor', capo: 2 });
    expect(chart.tuning).toEqual({ name: 'low', strings: [38, 45, 50, 55, 59, 64] });
    expect(chart.shapes).toEqual([{ symbol: 'Bm', frets: [null, 2, 4, 4, 3, 2] }]);
  });

  test('the form on one line or on many, with altered and added endings', () => {
    const sections = 'title: T\ntempo: 100\n[Verse]\n| G | D |\n[Outro]\n| C |\n';
    const [one, many] = [
      'form: Verse x2 ending | E | A |\nOutro',
      'form:\nVerse ×2 ending | E | A |\n\nOutro',
    ].map((form) => unwrap(parseChart(sections + form)).form);
    expect(one).toEqual(many);
    expect(one).toMatchObject([
      { section: 'Verse', times: 2, ending: { kind: 'replace' } },
      { section: 'Outro', times: 1 },
    ]);
    const added = unwrap(parseChart(`${sections}form: Verse, Outro added | G |`)).form;
    expect(added[1]!.ending?.kind).toBe('add');
  });

  test('without a form every section is played once', () => {
    expect(head('tempo: 100').form).toEqual([{ section: 'Verse', times: 1 }]);
  });

  test.each([
    ['feel: swing', 8, 2],
    ['feel: shuffle', 8, 2],
    ['swing: 16', 16, 2],
    ['swing: 3:2', 8, 3],
    ['shuffle: 8 3:2', 8, 3],
  ])('%s is a feel', (line, value, long) => {
    const chart = unwrap(parseChart(`title: T\ntempo: 100\n${line}\n\n[Verse]\n| G |\n`));
    expect(chart.feel).toMatchObject({ kind: 'swing', value, long });
    expect(chart.fields).toBeUndefined();
  });

  test('a section may have its own tempo, meter, feel and strum', () => {
    const chart = unwrap(
      parseChart(
        'title: T\ntempo: 100\n[Waltz]\ntempo: 140\nmeter: 3/4\nfeel: swing 8 2:1\nstrum: eighths D- DU DU\n| G |',
      ),
    );
    expect(chart.sections[0]).toMatchObject({
      tempo: { bpm: 140, beat: 'quarter' },
      meter: { numerator: 3, unit: 4 },
      feel: { kind: 'swing' },
      strum: { grid: 2 },
    });
  });
});

describe('problems name section and bar, and say the cure', () => {
  test.each([
    ['12/8', 'sixteenths DUDUDU DU'],
    ['8/8 (3+3+2)', 'eighths D-U D'],
    ['3/2', 'eighths DUDU DU'],
  ])('a strum that begins anew inside a beat of %s: %s', (meter, strum) => {
    const chart = unwrap(parseChart(typed(`strum: ${strum}\n| G |`, meter)));
    expect(printChart(chart)).toContain(`strum: ${strum}\n`);
    expect(unwrap(parseChart(printChart(chart)))).toEqual(chart);
  });

  test('the example of the house', () => {
    const lines = '| G | D | G | D |\n| Em | C | G / / / D | D |';
    expect(problemsOf(typed(lines))).toMatchObject([
      {
        code: 'bar-beats',
        message: 'bar 7 of ‘Bridge’ has 5 beats; the meter is 4/4',
        cure: 'Write 4 beats: a chord, / or . for each.',
        span: { line: 6, column: 12, length: 9 },
      },
    ]);
  });

  test.each([
    ['[Verse]\nG D Em C', 'Put bar lines around bars: “| G | D | Em | C |”.'],
    ['[Verse]\n| G |\nChorus\n| C |', 'If it is a section’s name, write “[Chorus]”.'],
    ['Monday Window\nVerse\n| G |', 'If it is a section’s name, write “[Verse]”.'],
    ['Monday Window\n[Verse]\n| G |', 'If it is the title, write “title: Monday Window”.'],
    [
      'G D\n[Verse]\n| G |',
      'Put a section’s name in [ ] above it, e.g. “[Verse]”, and bar lines around bars: “| G | D |”.',
    ],
  ])('a first attempt, %j, is told what to type', (text, cure) => {
    expect(problemsOf(text).map((p) => p.cure)).toContain(cure);
  });

  test('the same bar in several places: each is told at its own, and read alike where it holds', () => {
    const bad = 'G / (Am / C';
    const text = typed(`| D | ${bad} |\n| ${bad} | {eighths D} C |\n|  {eighths D} C | ${bad} |`);
    const places = problemsOf(text).map(({ code, span }) => [
      code,
      text
        .split('\n')
        [span!.line - 1]!.slice(span!.column - 1)
        .slice(0, span!.length),
      `${span!.line}:${span!.column}`,
    ]);
    expect(places).toEqual([
      ['split-open', '(Am / C', '5:11'],
      ['split-open', '(Am / C', '6:7'],
      ['strum-fit', 'eighths D', '6:18'],
      ['strum-fit', 'eighths D', '7:5'],
      ['split-open', '(Am / C', '7:24'],
    ]);
  });

  test('all problems at once, in the order of the text', () => {
    const text = [
      'title: Test',
      'tempo: fast',
      'capo: 20',
      '[Verse]',
      '| G / | H7 | C/// | % % G |',
      '[Verse]',
      '| Gmag7 | {eighths D} C |',
      'form: Verse, Bridge x0',
    ].join('\n');
    expect(
      problemsOf(text).map(({ code, span }) => `${span!.line}:${span!.column} ${code}`),
    ).toEqual([
      '2:8 tempo-unreadable',
      '3:7 capo-range',
      '5:3 bar-beats',
      '5:9 chord-unreadable',
      '5:14 beats-glued',
      '5:21 simile-mixed',
      '6:2 section-twice',
      '7:3 chord-unreadable',
      '7:12 strum-fit',
      '8:14 form-section',
    ]);
  });

  test('an unreadable chord comes with the nearest readable one', () => {
    expect(problemsOf(typed('| Gmag7 |'))).toMatchObject([
      { code: 'chord-unreadable', cure: 'Did you mean Gmaj7?' },
    ]);
  });

  test.each([
    ['| G | | D |', 'bar-empty'],
    ['| G ( D |', 'split-open'],
    ['| () / / / |', 'split-empty'],
    ['| (G (D E)) / / / |', 'split-nested'],
    ['| G {eighths D- |', 'strum-open'],
    ['| G[32] |', 'shape-strings'],
    ['| % |', 'simile-first'],
    ['| G | 3/4 % |', 'simile-length'],
    ['| pickup 1/4 G | % |', 'simile-length'],
    ['| G | pickup 1/4 D |', 'pickup-place'],
    ['| pickup G / / / |', 'pickup-length'],
    ['| pickup 5/4 G |', 'pickup-length'],
    ['| pickup 2/4 G D E |', 'bar-beats'],
    ['| 5/9 G |', 'meter-unreadable'],
    ['| 7/8(2+2) G |', 'meter-grouping'],
    ['|: G | D |', 'repeat-open'],
    ['|: G |: D :|', 'repeat-nested'],
    ['|: G :| x1 |', 'repeat-times'],
    ['| G | x3 D |', 'repeat-stray'],
    ['|: G |1. D | E |2. C |', 'ending-open'],
    ['|: G |1. D :|3. C |', 'ending-times'],
    ['|: G |1. D :|2. C :|', 'ending-last'],
    ['|: G |1. D :| x3 |2. C |', 'ending-count'],
    ['|: G |1. D :| C |2. E :|', 'ending-open'],
    ['|: G |1. D :|2. % |', 'simile-ending'],
    ['feel: swing 8 1:2\n| G |', 'feel-ratio'],
    ['feel: swing 8\n| 6/8 G |', 'swing-meter'],
    ['tempo: 401\n| G |', 'tempo-range'],
    ['G | D |', 'line-unknown'],
    ['| G "loud |', 'remark-open'],
    ['| "a" "b" G |', 'remark-twice'],
    ['| rit. accel. G |', 'pace-twice'],
    ['| rit. = 5 G |', 'pace-range'],
    ['| fermata G |', 'fermata-place'],
    ['| G |\nwords: | a | b |', 'words-bars'],
    ['| G |\nwords: down by the', 'words-bars'],
    ['| G |\nwords 99: | a |', 'words-verse'],
    ['| G |\nwords: | @9 a |', 'words-beat'],
    ['| G |\nwords: | @3 a @2 b |', 'words-beat'],
    ['like: Chorus\n| G |', 'like-section'],
    ['| G |\nbar 1: | C |', 'change-alone'],
    ['strum: eighths D-D\n| G |', 'strum-fit'],
    ['strum: eighths DUD- DU DU D\n| G |', 'strum-fit'],
    ['strum: eighths DUD UDU DU\n| G |', 'strum-groups'],
    ['meter: 7/8\nstrum: eighths DU DU DU DU\n| G |', 'strum-fit'],
    ['| G {eighths D- DU D} |', 'strum-fit'],
    ['mood: blue\n| G |', 'line-unknown'],
    ['strum: eighths D-\nstrum: eighths DU\n| G |', 'line-twice'],
    ['', 'section-bars'],
  ])('%s', (lines, code) => {
    const problems = problemsOf(typed(lines));
    expect(problems.map((problem) => problem.code)).toContain(code);
    for (const problem of problems) expect(problem.cure, problem.code).not.toBe('');
  });

  test.each([
    ['form: Verse x2 | E |', 'ending-word'],
    ['form: Verse x2 ending | E | A | C |', 'ending-bars'],
    ['form: Verse ending |: E :|', 'ending-repeats'],
    ['form: Vers', 'form-section'],
    ['form: Verse x99', 'form-times'],
    ['form:', 'form-entries'],
    ['form: Verse\nform: Verse', 'form-twice'],
    ['form: Verse ending | 3/4 E / / / | D |', 'bar-beats'],
  ])('%s', (form, code) => {
    const text = `title: T\ntempo: 100\n[Verse]\n| G | D |\n${form}`;
    expect(problemsOf(text).map((problem) => problem.code)).toContain(code);
  });

  test('a wrong name in the form is answered with the nearest section', () => {
    const text = 'title: T\ntempo: 100\n[Verse]\n| G |\nform: Vers';
    expect(problemsOf(text)[0]!.cure).toBe('Did you mean ‘Verse’?');
  });

  test('a form of more bars than anyone plays', () => {
    const verse = `[Verse]\n${'| G | D | G | D |\n'.repeat(100)}`;
    const text = `title: T\ntempo: 100\n${verse}form: Verse x8`;
    expect(problemsOf(text)).toMatchObject([
      { code: 'form-long', message: 'the form plays 3200 bars', span: { line: 104 } },
    ]);
  });
});

// What is written for people in a chart: words under bars, remarks, comments, free lines; and borrowed bars.
import { describe, expect, test } from 'vitest';
import { readBarWords, wordsAsText } from '../../../app/core/chart/notation/words.ts';
import {
  parseChart,
  parseStoredChart,
  readTypedChart,
} from '../../../app/core/chart/notation/parse.ts';
import { writeChartText } from '../../../app/core/chart/notation/chart-text.ts';
import { printChart } from '../../../app/core/chart/notation/print.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { meterOf } from '../../../app/core/rhythm/meter.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import type { ChartBody, Section } from '../../../app/core/model/chart.ts';
import type { UnitRef } from '../../../app/core/model/unit.ts';

const HEAD = 'title: Harbour Lights\ntempo: ♩ = 100\n';
const chartOf = (text: string): ChartBody => unwrap(parseChart(HEAD + text));
const sectionOf = (text: string): Section => chartOf(text).sections[0]!;
const settled = (text: string): string => printChart(chartOf(text));

/** "har-bour@1 lights": the words of a bar as they were read. */
const shown = (section: Section, verse = 0): string[] =>
  section.bars.map(({ words }) =>
    (words?.[verse] ?? [])
      .map(({ text, joined, at }) => `${text}${joined ? '-' : ''}${at ? `@${at.n}/${at.d}` : ''}`)
      .join(' '),
  );

describe('words under bars', () => {
  test('a line of words runs along the line of bars above it', () => {
    const section = sectionOf(
      '[Verse]\n| G | D | Em | C |\nwords: | Down by the | har-bour | | lights |',
    );
    expect(shown(section)).toEqual(['Down by the', 'har- bour', '', 'lights']);
  });

  test('several lines of a verse belong to as many lines of bars', () => {
    const section = sectionOf(
      '[Verse]\n| G | D |\n| C | D |\nwords: | one | two |\nwords: | three |',
    );
    expect(shown(section)).toEqual(['one', 'two', 'three', '']);
  });

  test('the line of bars without words stays without', () => {
    const section = sectionOf('[Verse]\n| G | D |\n| C | D |\nwords: | one | two |');
    expect(shown(section)).toEqual(['', '', 'one', 'two']);
  });

  test('verses of their own', () => {
    const section = sectionOf('[Verse]\n| G | D |\nwords: | one | two |\nwords 3: | un | deux |');
    expect(section.bars[0]!.words).toEqual([[{ text: 'one' }], [], [{ text: 'un' }]]);
    expect(shown(section, 2)).toEqual(['un', 'deux']);
  });

  test('a word that goes on in the next bar, and hyphens that are seen', () => {
    const section = sectionOf('[Verse]\n| G | D |\nwords: | fall- | ing twenty--one |');
    expect(shown(section)).toEqual(['fall-', 'ing twenty-one']);
    expect(wordsAsText(section.bars[0]!.words![0]!)).toBe('fall-');
    expect(wordsAsText(section.bars[1]!.words![0]!)).toBe('ing twenty-one');
  });

  test.each([
    ['@1 one @3 three', '4/4', 'one@0/1 three@2/1'],
    ['@2& late', '4/4', 'late@3/2'],
    ['@2e a @2a b', '4/4', 'a@5/4 b@7/4'],
    ['@2+1/3 third', '4/4', 'third@4/3'],
    ['@2 two @2+1/3 more', '6/8', 'two@3/2 more@2/1'],
  ])('%s in %s', (words, meter, expected) => {
    const section = sectionOf(`[Verse]\nmeter: ${meter}\n| G |\nwords: | ${words} |`);
    expect(shown(section)).toEqual([expected]);
  });

  test('a place behind more than 99 others, in a pickup of sixteenths', () => {
    const text = '[Verse]\nmeter: 15/2\n| pickup 105/16 G | D |\nwords: | @101 late |';
    expect(shown(sectionOf(text))[0]).toBe('late@25/1');
    expect(settled(text)).toContain('@101 late');
  });

  test('they are printed under their bars, each bar as wide as both', () => {
    const text = settled(
      '[Verse]\n|: G | D7 :|\nwords: | Down by the | sea |\nwords 2: | Out | on @3 it |',
    );
    expect(text).toContain(
      '         |: G           | D7       :|\n' +
        'words:   |  Down by the | sea      |\n' +
        'words 2: |  Out         | on @3 it |\n',
    );
    expect(printChart(unwrap(parseChart(text)))).toBe(text);
  });

  test('words of an altered ending', () => {
    const { form } = chartOf('[Verse]\n| G | D |\nform:\nVerse x2 ending | C |\nwords: | home |');
    expect(form[0]!.ending!.bars[0]!.words).toEqual([[{ text: 'home' }]]);
  });

  test('an anchor that names no beat', () => {
    expect(readBarWords('@5 a', meterOf(4, 4)).stray).toBe('@5');
    expect(readBarWords('@1+1/0 a', meterOf(4, 4)).stray).toBe('@1+1/0');
  });
});

const sung = (chart: ChartBody, ref: UnitRef): string[] =>
  unwrap(resolveUnit(chart, ref)).bars.map((bar) => wordsAsText(bar.words ?? []));

describe('which verse is sung', () => {
  const verses =
    '[Verse]\n| G |\nwords: | one |\nwords 2: | two |\n[Chorus]\n| C |\nwords: | all |\n';

  test('each time round the next one, then the first again', () => {
    const chart = chartOf(`${verses}form: Verse, Chorus, Verse x2`);
    expect(sung(chart, { kind: 'form' })).toEqual(['one', 'all', 'two', 'one']);
    expect(sung(chart, { kind: 'stretch', fromEntry: 2, toEntry: 3 })).toEqual(['two', 'one']);
    expect(sung(chart, { kind: 'section', section: 'Verse' })).toEqual(['one']);
  });

  test('inside a repeat', () => {
    const chart = chartOf('[Verse]\n|: G :|\nwords: | one |\nwords 2: | two |\nform: Verse');
    expect(sung(chart, { kind: 'section', section: 'Verse' })).toEqual(['one', 'two']);
  });
});

describe('remarks and comments', () => {
  test('on a bar, on a chord, on a section', () => {
    const section = sectionOf(
      '[Verse]\nremark: very straight here\n| "watch | the bar" G"little finger lifted" / D / |',
    );
    expect(section.remarks).toEqual(['very straight here']);
    expect(section.bars[0]).toMatchObject({
      remark: 'watch | the bar',
      content: { chords: [{ symbol: 'G', remark: 'little finger lifted' }, { symbol: 'D' }] },
    });
  });

  test('the player gets them with the bars that are played', () => {
    const chart = chartOf('[Verse]\n| "slowly" G"low" | D |');
    const { bars } = unwrap(resolveUnit(chart, { kind: 'section', section: 'Verse' }));
    expect(bars[0]).toMatchObject({ remark: 'slowly', chords: [{ remark: 'low' }] });
  });

  test('words and remarks make no other unit', () => {
    const plain = unwrap(resolveUnit(chartOf('[V]\n| G |'), { kind: 'section', section: 'V' }));
    const told = unwrap(
      resolveUnit(chartOf('[V]\n| "x" G"y" |\nwords: | la |'), { kind: 'section', section: 'V' }),
    );
    expect(told.fingerprint).toBe(plain.fingerprint);
  });

  test('comments stay above what they were written above', () => {
    const text = [
      '# for Monday',
      'title: Harbour Lights',
      'album: none yet',
      '# not too fast',
      'tempo: ♩ = 100',
      'meter: 4/4',
      '// the quiet one',
      '[Verse]',
      '| G | D | C |',
      '# from here on louder',
      '| G | D | # or Em',
      'form:',
      '# twice on stage',
      'Verse',
      '# the end',
    ].join('\n');
    const printed = printChart(unwrap(parseChart(text)));
    expect(printed).toBe(
      '# for Monday\ntitle: Harbour Lights\n# not too fast\ntempo: ♩ = 100\nmeter: 4/4\nalbum: none yet\n\n' +
        '# the quiet one\n[Verse]\n| G | D | C |\n# from here on louder\n# or Em\n| G | D |\n\n' +
        'form:\n# twice on stage\nVerse\n# the end\n',
    );
    expect(printChart(unwrap(parseChart(printed)))).toBe(printed);
  });
});

describe('the head', () => {
  test('who it is by, and lines that are only kept', () => {
    const chart = chartOf('author: Somebody\nLevel: easy\nsingers: two\n[V]\n| G |');
    expect(chart.by).toBe('Somebody');
    expect(chart.fields).toEqual([
      { name: 'Level', value: 'easy' },
      { name: 'singers', value: 'two' },
    ]);
  });

  test('a slip of the fingers is none of them', () => {
    const read = parseChart('title: T\ntmepo: 100\n[V]\n| G |');
    expect(read).toMatchObject({
      problems: expect.arrayContaining([
        expect.objectContaining({
          cure: 'Did you mean “tempo:”?',
          span: { line: 2, column: 1, length: 10 },
        }),
      ]),
    });
  });

  test('the identity of a kept chart', () => {
    const chart = { id: 'a-1', ...chartOf('[V]\n| G |') };
    const text = writeChartText(chart);
    expect(text.split('\n')[0]).toBe('id: a-1');
    expect(unwrap(parseStoredChart(text))).toMatchObject({
      id: 'a-1',
      chart: chartOf('[V]\n| G |'),
    });
  });

  test('a kept chart whose strum does not fit is still read', () => {
    const text = `${HEAD}[V]\nstrum: eighths DUDUD\n| G |`;
    expect(parseChart(text).ok).toBe(false);
    expect(parseStoredChart(text)).toMatchObject({ ok: true });
    expect(readTypedChart(text).problems).toMatchObject([
      { code: 'strum-fit', remedy: { edits: [{ text: 'eighths DU DU D- --' }] } },
    ]);
  });
});

describe('borrowed bars', () => {
  const verse =
    '[Verse]\nstrum: eighths D- DU\n| pickup 1/4 D | G | D | Em | C |\nwords: | Oh | down |\n';

  test('all of them, without the words', () => {
    const [, second] = chartOf(`${verse}[Verse 2]\nlike: Verse\nwords: | And | out |`).sections;
    expect(second).toMatchObject({ like: { section: 'Verse' }, strum: { grid: 2 } });
    expect(second!.bars).toHaveLength(5);
    expect(shown(second!)).toEqual(['And', 'out', '', '', '']);
  });

  test('with changes, counted without the pickup, and bars of its own', () => {
    const text = `${verse}[Outro]\nlike: Verse\nbar 2: | Am | D7 |\n| G |\n`;
    const [, outro] = chartOf(text).sections;
    const symbols = outro!.bars.map(({ content }) =>
      content.kind === 'chords' ? content.chords.map(({ symbol }) => symbol).join() : '%',
    );
    expect(symbols).toEqual(['D', 'G', 'Am', 'D7', 'C', 'G']);
    expect(printChart(chartOf(text))).toContain(
      '[Outro]\nlike: Verse\nbar 2: | Am | D7 |\n| G |\n',
    );
  });

  test('a range', () => {
    const [, coda] = chartOf(`${verse}[Coda]\nlike: Verse, bars 3–4`).sections;
    expect(coda).toMatchObject({ like: { section: 'Verse', from: 4, to: 5 } });
    expect(coda!.bars).toHaveLength(2);
  });

  test.each([
    ['like: Bridge', 'like-section'],
    ['like: Verse, bars 3-9', 'like-bars'],
    ['like: Verse\nbar 9: | C |', 'change-bars'],
  ])('%s', (lines, code) => {
    const read = parseChart(`${HEAD}${verse}[Outro]\n${lines}`);
    expect(read.ok ? [] : read.problems.map((problem) => problem.code)).toEqual([code]);
  });
});

describe('a lead line that comes again', () => {
  const section = '[Verse]\n| pickup 1/4 D | G | D | G | D |\n';
  const part = '\npart Guitar: | 4 3/7 3/7 3/7 3/7 |';

  test.each([
    ['Hook, bars 1 and 3', 2, [4]],
    ['Hook, bar 1, twice', 2, [3]],
    ['Hook, bar 1 x3', 2, [3, 4]],
    ['Hook, bars 1, 2 and 4', 2, [3, 5]],
    ['Hook, bar 2', 3, undefined],
  ])('%s', (start, bar, again) => {
    const chart = chartOf(`${section}line: ${start}${part}`);
    const [lead] = chart.sections[0]!.leads!;
    expect([lead!.bar, lead!.again]).toEqual([bar, again]);
    expect(parseChart(printChart(chart))).toEqual({ ok: true, value: chart });
    const { bars } = unwrap(resolveUnit(chart, { kind: 'section', section: 'Verse' }));
    const played = bars.flatMap((b, i) => (b.leads ? [i + 1] : []));
    expect(played).toEqual([bar, ...(again ?? [])]);
  });

  test('not before it is over', () => {
    const two = '\npart Guitar: | 1 3/7 | 3/7 |';
    expect(parseChart(`${HEAD}${section}line: Hook, bars 1 and 2${two}`)).toMatchObject({
      ok: false,
      problems: [{ code: 'lead-again' }],
    });
  });
});

describe('a pickup is not bar 1', () => {
  test('in messages and in the names of units', () => {
    const text = `${HEAD}[Verse]\n| pickup 1/4 D | G | H7 |`;
    const read = parseChart(text);
    expect(read.ok ? '' : read.problems[0]!.message).toContain('bar 2 of ‘Verse’');
    const chart = chartOf('[Verse]\n| pickup 1/4 D | G | D |');
    const named = (from: number, to: number): string =>
      unwrap(resolveUnit(chart, { kind: 'bars', section: 'Verse', from, to })).name;
    expect([named(2, 3), named(1, 2), named(2, 2)]).toEqual([
      'Verse, bars 1–2',
      'Verse, the pickup to bar 1',
      'Verse, bar 1',
    ]);
  });
});

describe('a strum over two bars', () => {
  test('odd bars have its first half, even ones its second', () => {
    const chart = chartOf(
      '[V]\nstrum: eighths D- D- D- D- DU DU DU DU\n| pickup 1/4 G | G | D | C | D |',
    );
    const { bars } = unwrap(resolveUnit(chart, { kind: 'section', section: 'V' }));
    expect(
      bars.slice(1).map((bar) => bar.strum!.cells.filter((c) => c.kind === 'stroke').length),
    ).toEqual([4, 8, 4, 8]);
  });

  test('seven eighths in 7/8', () => {
    const chart = chartOf('[V]\nmeter: 7/8\nstrum: eighths D- D- DUU\n| G |');
    expect(printChart(chart)).toContain('strum: eighths D- D- DUU');
  });
});

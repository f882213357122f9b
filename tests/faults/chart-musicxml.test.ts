// MusicXML files that are broken, hostile or simply of another kind: a named problem, never an exception.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { demoNamed } from '../support/demo.ts';
import { checkChart } from '../../app/core/chart/check.ts';
import { parseChart } from '../../app/core/chart/notation/parse.ts';
import { readMusicXml } from '../../app/core/exchange/musicxml/read/read.ts';
import { writeMusicXml } from '../../app/core/exchange/musicxml/write/write.ts';
import { type Problem, unwrap } from '../../app/core/base/result.ts';

const file = unwrap(writeMusicXml(demoNamed('low-tide-lanterns')));
const withLine = unwrap(
  writeMusicXml(
    unwrap(
      parseChart(
        'title: T\ntempo: 100\n[A]\n| G | D |\nline: Hook, bar 1\npart One: | 8 3/5 h7 p5 /9 4 3/7b1r 2/x | 2 3/g5h7~ - |',
      ),
    ),
  ),
);

const problemsOf = (text: string): readonly Problem[] => {
  const result = readMusicXml(text);
  return result.ok ? [] : result.problems;
};
const codesOf = (text: string): string[] => problemsOf(text).map((problem) => problem.code);

const score = (measures: string): string =>
  `<score-partwise version="4.0"><part-list><score-part id="P1"><part-name/></score-part></part-list><part id="P1">${measures}</part></score-partwise>`;
const G = '<harmony><root><root-step>G</root-step></root><kind>major</kind></harmony>';

describe('files that are refused', () => {
  test.each([
    ['nothing', '', 'xml-unreadable'],
    ['no XML', 'title: Test', 'xml-unreadable'],
    ['another XML', '<svg/>', 'musicxml-format'],
    ['a score by bars without any', '<score-timewise version="4.0"/>', 'musicxml-no-chords'],
    ['no parts', score('').replace(/<part id.*<\/part>/, ''), 'musicxml-no-chords'],
    ['no bars', score(''), 'musicxml-no-chords'],
    ['no chords', score('<measure number="1"/>'), 'musicxml-no-chords'],
    [
      'an entity of its own',
      `<!DOCTYPE a [<!ENTITY x "y">]>${score(`<measure>${G}</measure>`)}`,
      'xml-entities',
    ],
    [
      'an entity from a file',
      `<!DOCTYPE a [<!ENTITY x SYSTEM "file:///etc/passwd">]><a>&x;</a>`,
      'xml-entities',
    ],
    [
      'entities that grow',
      `<!DOCTYPE a [<!ENTITY b "${'b'.repeat(99)}"><!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;">]><a>&c;</a>`,
      'xml-entities',
    ],
    ['an entity that nobody defined', '<score-partwise>&x;</score-partwise>', 'xml-unreadable'],
  ])('%s', (_, text, code) => {
    const [problem] = problemsOf(text);
    expect(problem).toMatchObject({ code });
    expect(problem!.cure).not.toBe('');
  });

  test('a document type without definitions is no danger, and nothing is fetched', () => {
    const doctype =
      '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">';
    expect(codesOf(`${doctype}${score(`<measure>${G}</measure>`)}`)).toEqual([]);
  });

  test('cut off anywhere', () => {
    fc.assert(
      fc.property(fc.integer({ min: 60, max: file.length - 20 }), (length) => {
        expect(codesOf(file.slice(0, length))).toEqual(['xml-unreadable']);
      }),
      { numRuns: 20 },
    );
  });

  test('a million bars stop at the first too many', () => {
    const text = score(
      `<measure>${G}</measure>`.repeat(1_000_000 / 10).concat('<measure/>'.repeat(900_000)),
    );
    expect(codesOf(text)).toEqual(['xml-many']);
  });

  test('more bars than anyone plays, though the file is small', () => {
    expect(codesOf(score(`<measure>${G}</measure>`.repeat(4000)))).toContain('section-bars');
  });

  test('repeats of repeats', () => {
    const back = '<barline location="right"><repeat direction="backward" times="32"/></barline>';
    expect(codesOf(score(`<measure>${G}${back}</measure>`.repeat(500)))).toEqual(['form-long']);
  });

  test('nesting without end', () => {
    expect(codesOf(`<score-partwise>${'<a>'.repeat(100_000)}`)).toEqual(['file-deep']);
  });

  test('50 MB', () => {
    expect(codesOf(score(' '.repeat(50_000_000)))).toEqual(['file-large']);
  });
});

describe('odd numbers inside', () => {
  const numbers = fc.constantFrom(
    '',
    '-1',
    '0',
    '0.1',
    '1e9',
    '999999999',
    '-999999999',
    '7/0',
    'NaN',
    '＋１',
    '2147483648',
  );
  const places: readonly (readonly [name: string, text: (value: string) => string])[] = [
    [
      'divisions',
      (v) =>
        `<attributes><divisions>${v}</divisions></attributes>${G}<note><rest/><duration>3</duration></note>${G}`,
    ],
    [
      'durations',
      (v) =>
        `<note><rest/><duration>${v}</duration></note>${G}<backup><duration>${v}</duration></backup>${G}`,
    ],
    ['offsets', (v) => G.replace('</harmony>', `<offset>${v}</offset></harmony>`)],
    [
      'beats',
      (v) =>
        `<attributes><time><beats>${v}</beats><beat-type>4</beat-type></time></attributes>${G}`,
    ],
    [
      'beat types',
      (v) =>
        `<attributes><time><beats>4</beats><beat-type>${v}</beat-type></time></attributes>${G}`,
    ],
    ['keys', (v) => `<attributes><key><fifths>${v}</fifths></key></attributes>${G}`],
    [
      'capos',
      (v) => `<attributes><staff-details><capo>${v}</capo></staff-details></attributes>${G}`,
    ],
    [
      'times',
      (v) => `${G}<barline location="right"><repeat direction="backward" times="${v}"/></barline>`,
    ],
    [
      'endings',
      (v) => `${G}<barline location="left"><ending number="${v}" type="start"/></barline>`,
    ],
    ['tempos', (v) => `<sound tempo="${v}"/>${G}`],
    [
      'jumps',
      (v) =>
        `<sound segno="${v}" coda="${v}" tocoda="${v}"/>${G}<sound dalsegno="${v}" time-only="${v}"/>`,
    ],
    [
      'degrees',
      (v) =>
        G.replace(
          '</harmony>',
          `<degree><degree-value>${v}</degree-value><degree-alter>${v}</degree-alter><degree-type>alter</degree-type></degree></harmony>`,
        ),
    ],
    ['roots', (v) => G.replace('</root>', `<root-alter>${v}</root-alter></root>`)],
    [
      'diagrams',
      (v) =>
        G.replace(
          '</harmony>',
          `<frame><frame-strings>6</frame-strings><frame-frets>4</frame-frets><frame-note><string>${v}</string><fret>${v}</fret></frame-note></frame></harmony>`,
        ),
    ],
  ];

  test.each(places)('%s: taken with a warning or refused, never half-read', (_, place) => {
    fc.assert(
      fc.property(numbers, numbers, (a, b) => {
        const result = readMusicXml(
          score(`<measure>${place(a)}</measure><measure>${place(b)}${G}</measure>`),
        );
        if (result.ok) expect(checkChart(result.value.chart)).toEqual([]);
        else expect(result.problems[0]!.cure).not.toBe('');
      }),
    );
  });

  test.each([
    ['a chart', file],
    ['a chart with a lead line', withLine],
  ])('%s with any element taken out or its text replaced', (_, whole) => {
    const elements = [...whole.matchAll(/<([\w-]+)[^<>]*>[^<>]*<\/\1>/g)];
    fc.assert(
      fc.property(fc.constantFrom(...elements), numbers, fc.boolean(), (match, value, remove) => {
        const [found, name] = match;
        const changed = remove ? '' : `<${name}>${value}</${name}>`;
        const text =
          whole.slice(0, match.index) + changed + whole.slice(match.index + found.length);
        const result = readMusicXml(text);
        if (result.ok) expect(checkChart(result.value.chart)).toEqual([]);
      }),
      { numRuns: 60 },
    );
  });
});

test('signs that XML has no place for in a title', () => {
  const chart = { ...demoNamed('low-tide-lanterns'), title: 'A & B <i> "q" \u0007 \uD800' };
  const { title } = unwrap(readMusicXml(unwrap(writeMusicXml(chart)))).chart;
  expect(title).toBe('A & B <i> "q" \uFFFD \uFFFD');
});

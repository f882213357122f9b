// Sheets of chords and words as people have them: what is read, what is left out, and the chart that comes of it.
import { describe, expect, test } from 'vitest';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { draftOf } from '../../../app/core/sheets/draft.ts';
import { readSheet } from '../../../app/core/sheets/read.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { STYLES, printSheet } from '../../support/sheets/print-sheet.ts';
import { scoreAll, sharesOf } from '../../support/sheets/measure.ts';
import { SONGS } from '../../support/sheets/songs.ts';

/** "G@0 D@12": chords with their characters. */
const placed = (text: string): string[] =>
  readSheet(text).sections.flatMap(({ lines }) =>
    lines.map(({ chords }) => chords.map(({ symbol, at }) => `${symbol}@${at}`).join(' ')),
  );
const names = (text: string): string[] =>
  readSheet(text).sections.map(({ name, times }) => (times > 1 ? `${name} x${times}` : name));

test('sixty sheets: chords, sections and whole sheets', () => {
  const scores = scoreAll();
  const shares = sharesOf(scores);
  expect(scores).toHaveLength(60);
  expect(shares.chords).toBeGreaterThanOrEqual(0.99);
  expect(shares.sections).toBeGreaterThanOrEqual(0.95);
  expect(shares.faultless).toBeGreaterThanOrEqual(0.9);
});

test('every one of them becomes a chart without a mistake', () => {
  for (const [i, song] of SONGS.entries()) {
    for (const style of STYLES[i % STYLES.length]!) {
      const { text } = draftOf(readSheet(printSheet(song, style)));
      expect(parseChart(text), text).toMatchObject({ ok: true });
    }
  }
});

describe('headings', () => {
  test.each([
    ['[Verse 1]', 'Verse 1'],
    ['VERSE 1', 'Verse 1'],
    ['Verse 1:', 'Verse 1'],
    ['(Chorus)', 'Chorus'],
    ['*Chorus*', 'Chorus'],
    ['## Bridge', 'Bridge'],
    ['--- Bridge ---', 'Bridge'],
    ['<Outro>', 'Outro'],
    ['Chorus x2', 'Chorus x2'],
    ['[Chorus] (x3)', 'Chorus x3'],
    ['Chorus (2x):', 'Chorus x2'],
    ['Verse 2 (softly)', 'Verse 2'],
    ['1. Strophe', 'Strophe'],
    ['Refrain:', 'Refrain'],
    ['Pre-Chorus', 'Pre-Chorus'],
    ['Verse II', 'Verse II'],
    ['[Slow landing]', 'Slow landing'],
  ])('%s', (heading, name) => {
    expect(names(`${heading}\nG      D\nDown by the water`)).toEqual([name]);
  });

  test.each([
    'Chorus of gulls above the town',
    'Bridge over the canal tonight',
    'Break my heart again',
  ])('“%s” is sung', (words) => {
    expect(names(`[Verse]\nG      D\n${words}`)).toEqual(['Verse']);
    expect(placed(`[Verse]\nG      D\n${words}`)).toEqual([`G@0 D@7`]);
  });

  test.each([
    ['Intro: G D Em C', 'G D Em C'],
    ['Intro | G | D |', 'G D'],
    ['[Intro] G  D', 'G D'],
  ])('%s has its chords with it', (line, chords) => {
    const [section] = readSheet(`${line}\n`).sections;
    expect(section!.name).toBe('Intro');
    expect(section!.lines[0]!.chords.map(({ symbol }) => symbol).join(' ')).toBe(chords);
  });
});

describe('chords', () => {
  test.each([
    ['brackets inside words', '[V]\n[G]Har[D]bour [Em7]lights', ['G@0 D@3 Em7@8']],
    ['a chord behind the words', '[V]\nG       D      C\nShort line', ['G@0 D@8 C@15']],
    ['silence', '[V]\nN.C.     G\nNothing and then', ['N.C.@0 G@9']],
    [
      'slash chords and long names',
      '[V]\nG/B     Cmaj7   D7sus4\nDown to the river bank',
      ['G/B@0 Cmaj7@8 D7sus4@16'],
    ],
    ['parentheses', '[V]\n(G)     (D)\nDown by the river', ['G@0 D@8']],
    ['German names', '[V]\nH       Fis     B\nDown by the river tide', ['B@0 F#@8 Bb@16']],
    ['small minors', '[V]\na       F       C\nDown by the river tide', ['Am@0 F@8 C@16']],
    [
      'small letters throughout',
      '[V]\nam      f       c\nDown by the river tide',
      ['Am@0 F@8 C@16'],
    ],
    ['a word behind a chord', '[V]\nG       D(hold)\nDown by the river', ['G@0 D@8']],
    ['chords that hang together', 'Intro: G-D-Em', ['G@7 D@9 Em@11']],
    ['chords behind the words', '[V]\nDown by the river    G  D', ['G@21 D@24']],
    ['a kind of chord behind a space', '[V]\nA minor  D\nDown by the river', ['Am@0 D@9']],
    ['a chord over a space', '[V]\nG   D\nDown by', ['G@0 D@5']],
  ])('%s', (_, text, expected) => {
    expect(placed(text)).toEqual(expected);
  });

  test.each([
    'A man in a boat',
    'Am I the one',
    'Go go go',
    'Add a bed',
    'Do be a dear',
    'Face to face',
  ])('“%s” is sung', (words) => {
    const [line] = readSheet(`[Verse]\nG\n${words}`).sections[0]!.lines;
    expect(line!.words).toBe(words);
    expect(line!.chords).toHaveLength(1);
  });
});

describe('what is no song', () => {
  test.each([
    ['e|--0--2--3--|', 'a tab staff'],
    ['|--0-----2---3h5--|', 'a tab staff'],
    ['---0---2---3p2---', 'a tab staff'],
    ['Page 2 of 3', 'a page number'],
    ['- 4 -', 'a page number'],
    ['© nobody at all', 'a credit'],
    ['Transcribed by a friend', 'a credit'],
    ['www.example.org', 'an address'],
    ['==========', 'a rule'],
    ['G: 32000', 'a chord shape'],
  ])('%s is %s', (line, why) => {
    const sheet = readSheet(`[Verse]\nG      D\nDown by the water\n\n${line}\n`);
    expect(sheet.leftOut).toEqual([{ line: 5, text: line, why }]);
    expect(sheet.sections[0]!.lines).toHaveLength(1);
  });
});

test('title, writer, key, capo, tempo and meter', () => {
  const text =
    'Second Bell\nby Nobody Much\n\nKey: Am   Capo: 3rd fret\nTempo: 104 bpm\nTime: 3/4\n\n[V]\nG\nLa';
  expect(readSheet(text)).toMatchObject({
    title: 'Second Bell',
    by: 'Nobody Much',
    key: 'A minor',
    capo: 3,
    tempo: 104,
    meter: '3/4',
  });
});

describe('the draft', () => {
  test('bars are guessed, words cut where their chord stands, and it says so', () => {
    const { text, guesses } = draftOf(
      readSheet(
        'Low Tide\n\n[Verse]\nG          D\nDown by the harbour\n\n[Chorus]\nC    D\nGo on and on\n\n[Verse]\n',
      ),
    );
    expect(text).toBe(
      'title: Low Tide\ntempo: ♩ = 96\nmeter: 4/4\n\n[Verse]\n# bars guessed\n| G | D |\nwords: | Down by the | harbour |\n\n' +
        '[Chorus]\n# bars guessed\n| C | D |\nwords: | Go on | and on |\n\nform:\nVerse\nChorus\nVerse\n',
    );
    expect(guesses).toHaveLength(3);
  });

  test('bars as written, with beats, similes and repeats', () => {
    const { text } = draftOf(
      readSheet('Title: Grid\n\n[A]\n||: G | % | C / / D | Am D :||\n| G | x3\n'),
    );
    expect(text).toContain('|: G | % | C / / D | Am / D / :|\n|: G :| x3\n');
    expect(unwrap(parseChart(text)).sections).toHaveLength(1);
  });
});

describe('a verse of words alone', () => {
  const first = 'Verse 1:\nG           D\nDown by the water\nC       G\nup to the mill\n\n';

  test('is sung to the bars of the verse above', () => {
    const { text, guesses } = draftOf(
      readSheet(`${first}Verse 2:\nOut on the meadow\nback to the hill`),
    );
    expect(text).toContain('[Verse 2]\n# bars guessed\n| G | D |\nwords: | Out on the | meadow |');
    expect(guesses).toContain('Verse 2 has no chords of its own; it takes those of Verse 1.');
  });

  test('of another length is left out, and that is said with its lines', () => {
    const { text, guesses } = draftOf(
      readSheet(`${first}Verse 2:\nOut on the meadow\nback to the hill\nand home`),
    );
    expect(text).not.toContain('Verse 2');
    expect(guesses).toContain('Lines 8 to 10, Verse 2, are words without chords and are left out.');
  });
});

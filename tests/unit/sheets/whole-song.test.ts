// What a sheet says about the whole song, and its written bars: facts wherever they stand, repeats, endings, beats, form.
import { describe, expect, test } from 'vitest';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { draftOf } from '../../../app/core/sheets/draft.ts';
import { fieldOf } from '../../../app/core/sheets/fields.ts';
import { readSheet } from '../../../app/core/sheets/read.ts';
import { stripIndent } from './strip-indent.ts';

const draft = (sheet: string) => {
  const { text, guesses } = draftOf(readSheet(stripIndent(sheet)));
  expect(parseChart(text), text).toMatchObject({ ok: true });
  const head = text.split('\n\n')[0]!.split('\n');
  return { text, guesses, head, chart: unwrap(parseChart(text)) };
};
/** The lines of bars and words of a section. */
const section = (text: string, name: string): readonly string[] =>
  (text.split('\n\n').find((block) => block.startsWith(`[${name}]`)) ?? '')
    .split('\n')
    .slice(1)
    .filter((line) => !line.startsWith('#'));
const leftOut = (sheet: string): readonly string[] =>
  readSheet(stripIndent(sheet)).leftOut.map(({ line, why }) => `${line}: ${why}`);

const BARS = '\n\n[Verse]\n| C | G | C | G |\n';

describe('facts about the song', () => {
  test.each([
    [
      'Key: Em   Tempo 126   4/4   Tuning: Eb (all down a half step)',
      ['key: E minor', 'tempo: ♩ = 126', 'meter: 4/4', 'tuning: half step down'],
    ],
    ['Slow waltz, 3/4, about 84', ['tempo: ♩ = 84', 'meter: 3/4']],
    ['Tempo: 72, Takt 6/8', ['tempo: ♩. = 72', 'meter: 6/8']],
    [
      '12/8 slow blues feel, dotted quarter = 58, key of A',
      ['key: A', 'tempo: ♩. = 58', 'meter: 12/8'],
    ],
    ['Standard tuning, no capo. 5/4 (3+2). Tempo 132', ['tempo: ♩ = 132', 'meter: 5/4']],
    [
      'BPM: 104    Feel: shuffle    Guitar in DADGAD',
      ['tempo: ♩ = 104', 'meter: 4/4', 'feel: swing 8 2:1', 'tuning: DADGAD'],
    ],
    [
      '(tuning: D-A-D-G-B-E, 6/8, dotted crotchet = 112)',
      ['tempo: ♩. = 112', 'meter: 6/8', 'tuning: drop D'],
    ],
    ['7/8 = 2+3+2, q=150', ['tempo: ♩ = 150', 'meter: 7/8 (2+3+2)']],
    [
      'words & music: T. Quill   (capo 3, play in D)',
      ['by: T. Quill', 'tempo: ♩ = 96', 'meter: 4/4', 'capo: 3'],
    ],
    ['Capo 1 · Tempo ca. 80 · 3/4-Takt', ['tempo: ♩ = 80', 'meter: 3/4', 'capo: 1']],
    ['Tempo: fast (approx 176)', ['tempo: ♩ = 176', 'meter: 4/4']],
  ])('%s', (line, fields) => {
    const { head } = draft(`Salt and Paper\n${line}${BARS}`);
    expect(head).toEqual(['title: Salt and Paper', ...fields]);
  });

  test.each([
    [
      'SLOW LANE          Tempo = 66   Capo II   3/4',
      ['title: SLOW LANE', 'tempo: ♩ = 66', 'meter: 3/4', 'capo: 2'],
    ],
    [
      'Die Mühle                        Capo im 2. Bund',
      ['title: Die Mühle', 'tempo: ♩ = 96', 'meter: 4/4', 'capo: 2'],
    ],
    [
      'Wire for two guitars             drop D',
      ['title: Wire for two guitars', 'tempo: ♩ = 96', 'meter: 4/4', 'tuning: drop D'],
    ],
    [
      'Harbour Waltz | 3/4 | 138 bpm | Key: F',
      ['title: Harbour Waltz', 'key: F', 'tempo: ♩ = 138', 'meter: 3/4'],
    ],
    ['Little Fires (ballad, 58bpm)', ['title: Little Fires', 'tempo: ♩ = 58', 'meter: 4/4']],
    ['Capo Three Blues', ['title: Capo Three Blues', 'tempo: ♩ = 96', 'meter: 4/4']],
    ['Lanternfish - lead sheet', ['title: Lanternfish', 'tempo: ♩ = 96', 'meter: 4/4']],
  ])('beside the title: %s', (line, fields) => {
    expect(draft(`${line}${BARS}`).head).toEqual(fields);
  });

  test('a capo beside the name of a section is the song’s', () => {
    expect(draft('Clover\n\nVerse   (capo 4)\n| G | C |\n').chart.capo).toBe(4);
  });

  test.each(['page 3/4', '3/4/2031', 'no capo', 'tuned down 1/2 step'])(
    '“%s” is no meter and no capo',
    (line) => {
      const { chart } = draft(`Clover\n${line}${BARS}`);
      expect([chart.meter.numerator, chart.meter.unit, chart.capo]).toEqual([4, 4, 0]);
    },
  );

  test.each(['Shuffle', 'Take my capo and my key', 'Tempo of the tide'])(
    '“%s” may be sung',
    (line) => {
      expect(fieldOf(line)).toBeUndefined();
    },
  );

  test('another number of strings is said plainly', () => {
    const { head, guesses } = draft(`Heron\nTuning: 7 string (B E A D G B E)${BARS}`);
    expect(head.join()).not.toContain('tuning');
    expect(guesses).toContain(
      'The sheet is for 7 strings. A chart is for six: its chords are kept, its tuning is not.',
    );
  });

  test('what was taken from a line that is left out is said with it', () => {
    expect(leftOut(`Heron\nSlow waltz, 3/4, about 84${BARS}`)).toEqual([
      '2: a line above the song, but for its tempo, meter',
    ]);
  });

  test('the order of the parts', () => {
    const sheet =
      'Gold\nForm: Intro / A / A / B x2 / A\n\nIntro: D | G |\n\nA: D | A | G | D |\n\nB: Em | A |\n';
    expect(draft(sheet).text).toContain('form:\nIntro\nA\nA\nB x2\nA\n');
  });
});

describe('written bars', () => {
  test('a repeat may span lines, with endings', () => {
    const { text } = draft(`
      Reel
      [A]
      ||: Bm | Bm | A  | A  |
      |  G  | D/F# | Em |1. D :||2. G ||
    `);
    expect(section(text, 'A')).toEqual([
      '|: Bm | Bm | A | A |',
      '| G | D/F# | Em |1. D :|',
      '|2. G |',
    ]);
  });

  test('a repeat that nobody closes ends with its section; one that makes no sense is played once', () => {
    expect(section(draft('Reel\n[A]\n|: C | D |\n| E | F |\n').text, 'A')).toEqual([
      '|: C | D |',
      '| E | F :|',
    ]);
    expect(section(draft('Reel\n[A]\n| C |1. D |2. E |\n').text, 'A')).toEqual(['| C | D | E |']);
  });

  test('bars are kept where words stand under them', () => {
    const { text, guesses } = draft(`
      Stairwell
      [Verse]
      | Dm7 / / Gm7 / | Dm7 / / Gm7 / | Bbmaj7 / / C / |
        Half-way        down the hall   I stopped
    `);
    expect(section(text, 'Verse')).toEqual([
      '| Dm7 / / Gm7 / | Dm7 / / Gm7 / | Bbmaj7 / / C / |',
      'words: | Half-way | down the hall | I stopped |',
    ]);
    expect(guesses).toContain('No meter is written; 5/4 is counted from the beats of the bars.');
  });

  test('words with bar lines of their own', () => {
    const { text } = draft('Stairwell\n[Verse]\n| C    | G    |\n| down the hall | I stopped |\n');
    expect(section(text, 'Verse')[1]).toBe('words: | down the hall | I stopped |');
  });

  test('signs for halves of beats, and for two beats at once', () => {
    const { text } = draft('Steps\n4/4\n[A]\n| C / / / G / / / | C / / D / / / / | C G |\n');
    expect(section(text, 'A')).toEqual(['| C / G / | C (/ D) / / | C / G / |']);
  });

  test('letters in the margin name parts', () => {
    const { text } = draft(`
      Night Bus
      Intro   | Em | Em |
      A       |: Em  | G  | D/F#  | A7 :| x2
      B       | C    | C  |
              | Am7  | D  |
      A       |: Em  | G  | D/F#  | A7 :|
      C       | Em |
    `);
    expect(text).toContain('form:\nIntro\nA\nB\nA\nC\n');
    expect(section(text, 'B')).toEqual(['| C | C |', '| Am7 | D |']);
  });

  test('a letter that is a chord stays one', () => {
    const { text } = draft('March\n\nVerse\nG | C | G | D |\nA | D | A | E |\n');
    expect(section(text, 'Verse')).toEqual(['| G | C | G | D |', '| A | D | A | E |']);
  });
});

describe('parts like others', () => {
  test('“same as”', () => {
    const { text } = draft('Fish\n\nHead:\n| A7 | D7 |\n\nSolo: same as head\n\nTag:\n| A7 |\n');
    expect(section(text, 'Solo')).toEqual(['| A7 | D7 |']);
    expect(text).toContain('form:\nHead\nSolo\nTag\n');
  });

  test('the same name twice is a second verse, also at the top of the sheet', () => {
    const { text } = draft(
      '[Verse]\n[C]Down the [G]hall\n[Chorus]\n[F]Oh [C]no\n[Verse]\n[C]Up the [G]stair\n',
    );
    expect(text).toContain('form:\nVerse\nChorus\nVerse 2\n');
  });

  test('lines with the same chords have the same bars', () => {
    const { text } = draft(`
      Die Mühle
      1. Strophe
            F            B           E7   H7  E7
      und der Müller hat niemals gelacht
      2. Strophe
            F            B           E7   H7  E7
      und das Korn hat den Hunger gebracht
    `);
    const bars = ['Strophe', 'Strophe 2'].map((name) => section(text, name)[0]);
    expect(bars).toEqual(Array.from({ length: 2 }, () => '| F | B | E7 / H7 / | E7 |'));
  });

  test('three chords among lines of four bars hold the last, among lines of two share a bar', () => {
    const four = draft(
      'Foam\n[Chorus]\nG     A        F     C\nCarry me over, carry me\nG        A        D\nCarry me over the foam\n',
    );
    expect(section(four.text, 'Chorus')[2]).toBe('| G | A | D | % |');
    const two = draft(
      'Foam\n[Verse]\nG            A\nCarry me over, carry me\nG            A\nCarry me over, carry on\nD          A7sus4   A7\nSide of my boat and sand\n',
    );
    expect(section(two.text, 'Verse')[4]).toBe('| D | A7sus4 / A7 / |');
  });

  test.each(['D.S. al Coda', 'D.C.', 'DC al Fine', 'To Coda'])(
    '“%s” is told, and not sung',
    (jump) => {
      const sheet = `Stair\n\n[A]\n| A7 | D7 |\n${jump}\n\n[Coda]\nD  C\n`;
      expect(leftOut(sheet)).toEqual(['5: a jump; say under “form:” what is played then']);
      expect(section(draft(sheet).text, 'Coda')).toEqual(['| D | C |']);
    },
  );

  test('“repeat 3x” is no line of words', () => {
    const sheet = 'Blues\n\n[A]\n| A7 | D7 |\nrepeat 3x\n';
    expect(section(draft(sheet).text, 'A')).toEqual(['remark: repeat 3x', '| A7 | D7 |']);
    expect(leftOut(sheet)).toEqual([]);
  });
});

describe('names of parts in other habits', () => {
  const order = (sheet: string) => draft(sheet).text.split('form:\n')[1]!.trim().split('\n');

  test('bold and slanted letters of plain-text marks', () => {
    const sheet = `
      # Lantern Parade

      **Intro** (picked): C - G

      **Verse**
      C               G
      We cut the moons in paper

      **Chorus** _x2_
      C               G
      Carry them down the hill

      **Outro:** same as Intro, end on C
    `;
    expect(order(sheet)).toEqual(['Intro', 'Verse', 'Chorus x2', 'Outro']);
    expect(section(draft(sheet).text, 'Outro')).toEqual(['| C | G |']);
  });

  test('letters in brackets before bars', () => {
    const sheet = 'Tarpaulin\n\n[A]  Bm  |  G  ||\n[B]  G  |  A  ||\n     D  |  A  ||\n[A]\n';
    expect(order(sheet)).toEqual(['A', 'B', 'A']);
    expect(section(draft(sheet).text, 'B')).toEqual(['| G | A |', '| D | A |']);
  });

  test('numbers and short forms before chords in brackets', () => {
    const sheet = `
      Tune: RAILWAY TEA

      1   [G]Steam on the [D]window
      R:  [Em]Second class, [C]second-hand
      2   [G]Crumbs on the [D]table

      R:
    `;
    expect(draft(sheet).head[0]).toBe('title: RAILWAY TEA');
    expect(order(sheet)).toEqual(['Verse 1', 'R', 'Verse 2', 'R']);
  });

  test('a short form that comes again with its count; a name with bars behind it', () => {
    const sheet = `
      Lamplighter

      Riff: D5 . . C5 | D5 . . F5 |

      Cho: G        D
           Light me, light me

           Em                 Bm7
      2.   Morning goes down to the river
           Em                 Bm7
           fog on the arches and the plain
           Em                 Bm7
           nobody asking for a name

      Cho. 2x
    `;
    expect(order(sheet)).toEqual(['Riff', 'Cho', 'Verse 2', 'Cho x2']);
  });

  test('a rule is called a rule', () => {
    expect(leftOut('Glass\n--------------------\n[A]\n| C | G |\n')).toEqual(['2: a rule']);
  });
});

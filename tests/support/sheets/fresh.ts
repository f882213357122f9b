// Sheets written down before the reader was looked at again, in three parts: mended by the first, checked on the second,
// and the third read once. All words are our own.
import { type HeldOut, above, built, german, markedLine, over } from './held-out.ts';

const A = '[C]Gravel in the [G]driveway, [Am]letters in the [F]hall';
const B = '[C]Nobody was [E7]asking who would [Am]answer to the [G]call';
const C = '[F]So leave the [C]lantern burning, [G]leave the [Am]gate ajar';
const D = '[Dm]I can hear the [G7]gravel from a[C]far';
const E = '[Em]Seven crows on a [D]telephone wire';
const F = '[Am]one for the rain and [B7]two for the [Em]fire';
const CH = '[C][G][Am][F]';
const T = '[Bm7]Hold the [E7]rope and [A]count the [F#m7]stairs';

const crlf = (sheet: HeldOut): HeldOut => ({ ...sheet, text: sheet.text.replace(/\n/gu, '\r\n') });
const small = (c: string): string =>
  c.replace(/^([A-H])((?:is|es|[#b])?)m(?!aj)/u, (_, l: string, s: string) => l.toLowerCase() + s);

export const TUNED: readonly HeldOut[] = [
  {
    name: 'a sheet as a browser copies it',
    text: `Gravel

Chords: C, G, Am, F, E7, Dm, G7
Capo: no capo
Key: C

[Intro]
C  G  Am  F   (x2)

[Verse 1]
C             G             Am                F
Gravel in the driveway, letters in the hall
`.replace(/C {13}G.*\n.*\n/u, `${over(A)}\n`),
    truth: [
      ['Intro', [CH]],
      ['Verse 1', [A]],
    ],
  },
  built(
    'tags in braces round a section’s name',
    { line: over, top: 'Gravel' },
    ['{Verse 1}', 'Verse 1', A, B],
    ['{Chorus}', 'Chorus', C, D],
  ),
  built(
    'headings with slashes',
    { line: over, top: 'Gravel' },
    ['/ Verse 1 /', 'Verse 1', A],
    ['/ Chorus /', 'Chorus', C],
  ),
  built(
    'headings with a dot',
    { line: over, top: 'Gravel' },
    ['Verse 1.', 'Verse 1', A],
    ['Chorus.', 'Chorus', C],
  ),
  built(
    'a count behind the chorus',
    { line: over, top: 'Gravel' },
    ['Verse 1', 'Verse 1', A],
    ['Chorus (2x):', 'Chorus', C, D],
    ['Outro x 4', 'Outro', CH],
  ),
  built(
    'bass notes in small letters',
    { line: (l) => above(markedLine(l), (c) => c.replace('G', 'G/b').replace('Am', 'Am/g')) },
    ['Verse', 'Verse', '[C]Gravel in the [F]driveway, [Dm]letters in the [F]hall'],
    ['Chorus', 'Chorus', '[F]So leave the [C]lantern burning'],
  ),
  built(
    'chords in parentheses over the words',
    { line: (l) => above(markedLine(l), (c) => `(${c})`, ''), top: 'Gravel' },
    ['Verse', 'Verse', '[C]Gravel in the [G]driveway'],
    ['Chorus', 'Chorus', CH],
  ),
  built(
    'chords in parentheses inside the words',
    { line: (l) => l.replace(/\[([^\]]+)\]/gu, '($1)'), top: 'Gravel' },
    ['Verse', 'Verse', A, B],
    ['Chorus', 'Chorus', C],
  ),
  built(
    'small minors with capital majors, German',
    { line: (l) => above(markedLine(l), (c) => small(german(c))), top: 'Kies' },
    ['Strophe', 'Strophe', E, F],
    ['Refrain', 'Refrain', '[Bm]Lass die Lampe [F#m]brennen, [B7]lass das Tor'],
  ),
  built(
    'bars with counts',
    {
      line: (l) => (l === CH ? '| C | G | Am | F |  x2' : over(l)),
      top: 'Gravel',
    },
    ['Intro', 'Intro', CH],
    ['Verse', 'Verse', A],
  ),
  built('words that look like chords', { line: over, top: 'Gravel' }, [
    'Verse',
    'Verse',
    '[C]A day, a dog, a [G]bed, an egg',
    '[Am]Be as bad as [F]Dad',
    'A B C and D E F',
    '[G]Add a face, a cab, a [C]fee',
  ]),
  built(
    'chords glued to dots and beats',
    { line: (l) => (l === CH ? 'C... G... Am... F...' : over(l)), top: 'Gravel' },
    ['Intro', 'Intro', CH],
    ['Verse', 'Verse', E],
  ),
  crlf(
    built(
      'Windows, tabs before the chords',
      {
        line: (l) =>
          over(l)
            .split('\n')
            .map((x) => `\t${x}`)
            .join('\n'),
        top: 'Gravel\r',
      },
      ['Verse', 'Verse', A, B],
      ['Chorus', 'Chorus', C],
    ),
  ),
  built(
    'a list of chords before the song',
    {
      line: over,
      top: 'Gravel\n\nChords used:\nC = x32010\nG = 320003\nAm = x02210\nF = 133211',
    },
    ['Verse', 'Verse', A],
    ['Chorus', 'Chorus', C],
  ),
  built(
    'N.C. in brackets',
    { line: (l) => l, top: 'Gravel' },
    ['Verse', 'Verse', '[N.C.]Gravel in the driveway, [Am]letters in the [F]hall'],
    ['Chorus', 'Chorus', C],
  ),
  built(
    'page numbers and a running head',
    {
      line: over,
      top: 'Gravel\nby Nobody Special',
      bottom: 'Gravel - page 1\n\n2',
    },
    ['Verse', 'Verse', A, B],
    ['Chorus', 'Chorus', C],
  ),
];

export const CHOSEN: readonly HeldOut[] = [
  built(
    'verse numbers before the words',
    { line: over, top: 'Crows' },
    ['Verse 1', 'Verse 1', E, F],
    ['Verse 2', 'Verse 2', E.replace('Seven', 'Eight'), F],
    ['Bridge', 'Bridge', D],
  ),
  built(
    'headings in angle brackets',
    { line: over, top: 'Crows' },
    ['<verse 1>', 'Verse 1', E],
    ['<chorus>', 'Chorus', C],
  ),
  built(
    'headings with arrows and counts',
    { line: over, top: 'Crows' },
    ['>> Chorus x2', 'Chorus', C, D],
    ['>> Verse', 'Verse', E],
  ),
  built(
    'bars with beats as slashes',
    {
      line: (l) => (l === CH ? '| C / / / | G / / / | Am / F / |' : over(l)),
      top: 'Crows',
    },
    ['Intro', 'Intro', CH],
    ['Verse', 'Verse', E, F],
  ),
  built(
    'two chords to a bar, no first line',
    {
      line: (l) => (l === CH ? 'C G | Am F |' : over(l)),
      top: 'Crows',
    },
    ['Riff:', 'Riff', CH],
    ['Verse:', 'Verse', E],
  ),
  built(
    'the writer behind a slash',
    { line: over, top: 'Crows / Nobody\nCapo 3' },
    ['Verse', 'Verse', E, F],
    ['Chorus', 'Chorus', C],
  ),
  built(
    'chords with a star for the strong ones',
    { line: (l) => above(markedLine(l), (c) => (c === 'C' ? 'C*' : c)), top: 'Crows' },
    ['Verse', 'Verse', A, B],
    ['Chorus', 'Chorus', C],
  ),
  built(
    'brackets inside words',
    { line: (l) => l, top: 'Crows' },
    ['Verse', 'Verse', 'Se[Em]ven crows on a te[D]lephone wi[C]re', F],
    ['Chorus', 'Chorus', 'Lea[F]ve the lan[C]tern bur[G]ning'],
  ),
  built(
    'jazz signs',
    { line: over, top: 'Crows' },
    ['A section', 'A section', '[Em7b5]Seven [A7b9]crows on a [Dm7]telephone [G13]wire'],
    ['B section', 'B section', '[Cmaj7]one for the [Ebdim7]rain and [Dm9]two'],
  ),
  built(
    'power chords',
    { line: over, top: 'Crows' },
    ['Verse', 'Verse', '[E5]Seven crows on a [G5]telephone [A5]wire'],
    ['Chorus', 'Chorus', '[D5]one for the [B5]rain'],
  ),
  built(
    'chord line alone before the verse in words',
    { line: (l) => (l.includes('[') ? over(l) : l), top: 'Crows' },
    ['Intro', 'Intro', CH],
    ['Verse', 'Verse', 'Seven crows on a telephone wire', 'one for the rain and two for the fire'],
    ['Chorus', 'Chorus', C],
  ),
  built(
    'a tab between the chords and the next verse',
    {
      line: over,
      top: 'Crows',
      bottom:
        'E|-----0--2--3--|\nB|--0-----------|\nG|--------------|\nD|--2-----------|\nA|--2-----------|\nE|--0-----------|',
    },
    ['Verse', 'Verse', E],
    ['Chorus', 'Chorus', C],
  ),
  built(
    'N.C. above the words',
    { line: over, top: 'Crows' },
    ['Verse', 'Verse', '[N.C.]Seven crows on a [D]telephone wire'],
    ['Chorus', 'Chorus', '[F]So leave [N.C.]the lantern [G]burning'],
  ),
  built(
    'a tempo and a feel at the head',
    { line: over, top: 'Crows\nTempo: 84\nTime: 3/4\nFeel: swing\nKey of Em' },
    ['Verse', 'Verse', E],
    ['Chorus', 'Chorus', D],
  ),
];

export const ONCE: readonly HeldOut[] = [
  built(
    'headings in stars, chords over words',
    { line: over, top: 'Rope' },
    ['*Verse 1*', 'Verse 1', T, E],
    ['*Chorus*', 'Chorus', C],
    ['*Verse 2*', 'Verse 2', T],
  ),
  built(
    'headings underlined by dashes',
    { line: over, top: 'Rope' },
    ['Verse 1\n-------', 'Verse 1', T],
    ['Bridge\n------', 'Bridge', F],
  ),
  built(
    'headings with numbers in parentheses',
    { line: over, top: 'Rope' },
    ['Verse (1)', 'Verse', T],
    ['Chorus (1)', 'Chorus', C],
  ),
  built(
    'parts by letters in brackets',
    { line: over, top: 'Rope' },
    ['[A1]', 'A1', T],
    ['[B1]', 'B1', C],
  ),
  built(
    'the chorus in German with a count',
    { line: (l) => above(markedLine(l), german), top: 'Seil' },
    ['1. Strophe', 'Strophe', '[Bm]Halt das [E7]Seil und [A]zähl die [F#m7]Stufen'],
    ['Refrain (2x)', 'Refrain', '[Bb]Lass die [F]Lampe [C#m]brennen'],
  ),
  built(
    'in brackets with Windows ends',
    { line: (l) => l, end: '\r\n', top: 'Rope' },
    ['Intro', 'Intro', '[Bm7] [E7] [A] [F#m7]'],
    ['Verse 1', 'Verse 1', T, E],
    ['Outro', 'Outro', D],
  ),
  built(
    'a bar chart with sections in front',
    {
      line: (l) =>
        `| ${markedLine(l)
          .chords.map(([c]) => c)
          .join(' | ')} |`,
      top: 'Rope\n96 bpm\n4/4',
    },
    ['Intro', 'Intro', '[Bm7][E7][A][F#m7]'],
    ['Verse', 'Verse', '[A][D][E][E]', '[A][D][E7][A]'],
  ),
  built(
    'credits, an address and a capo',
    {
      line: over,
      top: 'Rope\nWords and music: Nobody\nCapo 4th fret\nwww.example.org/rope',
      bottom: '© Nobody. All rights reserved.\nPage 1 of 1',
    },
    ['Verse', 'Verse', T, E],
    ['Chorus', 'Chorus', C],
  ),
  built(
    'small letters for minors',
    { line: (l) => above(markedLine(l), small), top: 'Rope' },
    ['verse', 'Verse', '[Em]Seven crows on a [D]wire, [Am]one for the [B7]rain'],
    ['chorus', 'Chorus', D],
  ),
  built(
    'a shout in parentheses behind the words',
    { line: over, top: 'Rope' },
    ['Chorus', 'Chorus', '[F]So leave the [C]lantern burning (leave it [G]burning)', D],
    ['Verse', 'Verse', T],
  ),
  built(
    'chords behind the last word',
    { line: over, top: 'Rope' },
    ['Verse', 'Verse', '[Bm7]Hold the [E7]rope   [A]   [F#m7]', E],
    ['Chorus', 'Chorus', D],
  ),
  built(
    'slashes and repeats between bars',
    {
      line: (l) => (l === CH ? '|: C | G | Am | F :|' : over(l)),
      top: 'Rope',
    },
    ['Intro', 'Intro', CH],
    ['Verse', 'Verse', A, B],
    ['Outro', 'Outro', CH],
  ),
  built(
    'headings in capitals with a colon and chords behind',
    { line: (l) => (l === CH ? '' : over(l)), top: 'ROPE' },
    ['INTRO: C  G  Am  F', 'Intro', CH],
    ['VERSE 1:', 'Verse 1', T],
  ),
  built(
    'a spoken line and a stage word',
    { line: over, top: 'Rope' },
    ['Verse', 'Verse', T, 'and nobody said a word'],
    ['Interlude', 'Interlude', CH],
    ['Last chorus', 'Last chorus', C, D],
  ),
  built(
    'hyphenated syllables and a proportional dash',
    { line: over, top: 'Rope' },
    ['Verse', 'Verse', '[G]Sev - en [D]crows — on a [Em]tel - e - phone [C]wire'],
    ['Chorus', 'Chorus', D],
  ),
];

// Sheets in shapes that no rule of the reader was made from: other languages, bar lines over words, double spacing, tables of bars.

export interface HeldOut {
  readonly name: string;
  readonly text: string;
  /** Sections in order, each with its lines; a chord stands in brackets before the letter it belongs to. */
  readonly truth: readonly (readonly [name: string, lines: readonly string[]])[];
}

/** One section of a sheet: its heading as typed, the name that is meant, its lines. */
type Part = readonly [heading: string, name: string, ...lines: string[]];

interface Layout {
  readonly line: (marked: string) => string;
  readonly top?: string;
  readonly between?: string;
  readonly bottom?: string;
  readonly end?: string;
}

interface Marked {
  readonly words: string;
  readonly chords: readonly (readonly [symbol: string, at: number])[];
}

/** "[G]Down by the [D]bay" as words and places. */
export function markedLine(text: string): Marked {
  const chords: (readonly [string, number])[] = [];
  let words = '';
  let from = 0;
  for (const match of text.matchAll(/\[([^\]]+)\]/gu)) {
    words += text.slice(from, match.index);
    chords.push([match[1]!, words.length]);
    from = match.index + match[0].length;
  }
  return { words: words + text.slice(from), chords };
}

/** Chords on a line of their own, each over its letter; `before` stands in front of each chord. */
export function above(
  { words, chords }: Marked,
  say = (c: string): string => c,
  before = '',
): string {
  let line = '';
  for (const [symbol, at] of chords) {
    const column = words.trim() === '' ? line.length + (line === '' ? 0 : 3) : at;
    line = line.padEnd(Math.max(0, column - before.length)) + before + say(symbol);
  }
  return words.trim() === '' ? line : `${line}\n${words}`;
}

export const over = (marked: string): string => above(markedLine(marked));
export const german = (symbol: string): string =>
  symbol
    .replace(/(?<![A-G])B(?!b)/gu, 'H')
    .replace(/Bb/gu, 'B')
    .replace(/F#/gu, 'Fis')
    .replace(/C#/gu, 'Cis');

export const built = (name: string, layout: Layout, ...parts: readonly Part[]): HeldOut => ({
  name,
  text: [
    layout.top ?? '',
    ...parts.map(([heading, , ...lines]) =>
      [heading, ...lines.map(layout.line)].join(layout.between ?? '\n'),
    ),
    layout.bottom ?? '',
  ]
    .join('\n\n')
    .replaceAll('\n', layout.end ?? '\n'),
  truth: parts.map(([, section, ...lines]) => [section, lines]),
});

const A = '[G]Down the stair and [D]over the wall';
const B = '[Em]nobody heard the [C]kettle call';
const C = '[Am7]Turn the [D7]lamp a lit[G]tle higher';
const D = '[C]all the [G/B]boats are [Am]home';
const DE1 = '[Bm]Über der Brücke [F#]wartet das Licht';
const DE2 = '[Bb]leise der Regen, [C#m]ich hör ihn [E]nicht';
const ES = '[Am]Sobre la mesa [F]queda el [C]pan';
const FR = '[Dm]Il pleut sur la [Gm]ville, [A7]ce matin';
const IT = '[G]Piove sul [Em]tetto di [C]rame';
const NL = '[D]Onder de lantaarn [A]staat een [Bm]fiets';
const SV = '[E]Under lyktan [B7]står en [C#m]cykel';
const PL = '[Am]Nad rzeką [Dm]świeci [E7]lampa';
const PT = '[G]Na janela [D]chove [Em]devagar';
const CH = '[G][D][Em][C]';

export const HELD_OUT: readonly HeldOut[] = [
  built(
    'Spanish',
    { line: over, top: 'El pan de ayer' },
    ['Estrofa 1:', 'Estrofa 1', ES, ES],
    ['CORO', 'Coro', ES],
  ),
  built(
    'French',
    { line: over, top: 'Pluie\nParoles: personne' },
    ['Couplet 1', 'Couplet 1', FR],
    ['Refrain :', 'Refrain', FR],
  ),
  built(
    'Italian',
    { line: over, top: 'Rame' },
    ['[Strofa 1]', 'Strofa 1', IT],
    ['[Ritornello]', 'Ritornello', IT],
  ),
  built(
    'Dutch',
    { line: over, top: 'Fiets' },
    ['Couplet 1', 'Couplet 1', NL],
    ['Refrein:', 'Refrein', NL],
  ),
  built(
    'Swedish',
    { line: over, top: 'Cykel' },
    ['Vers 1:', 'Vers 1', SV],
    ['Refräng:', 'Refräng', SV],
  ),
  built(
    'Polish',
    { line: over, top: 'Lampa' },
    ['Zwrotka 1:', 'Zwrotka 1', PL],
    ['Refren:', 'Refren', PL],
  ),
  built(
    'Portuguese',
    { line: over, top: 'Janela' },
    ['Verso 1', 'Verso 1', PT],
    ['Refrão', 'Refrão', PT],
  ),
  built(
    'German names',
    { line: (l) => above(markedLine(l), german), top: 'Brücke' },
    ['1. Strophe:', 'Strophe', DE1, DE2],
    ['Refrain:', 'Refrain', DE2],
  ),
  built(
    'German names in brackets',
    { line: (l) => l.replace(/\[([^\]]+)\]/gu, (_, c: string) => `[${german(c)}]`), top: 'Brücke' },
    ['Strophe 2', 'Strophe 2', DE1, DE2],
    ['Brücke', 'Brücke', DE2],
  ),
  built(
    'bar lines over the words',
    { line: (l) => `${above(markedLine(l), undefined, '')}`, top: 'Wall' },
    ['Verse', 'Verse', A, B],
  ),
  built(
    'a bar line before each chord',
    { line: (l) => above(markedLine(` ${l}`), undefined, '|'), top: 'Wall' },
    ['Verse', 'Verse', A, B],
    ['Chorus', 'Chorus', C],
  ),
  built(
    'double-spaced',
    { line: (l) => over(l).replace('\n', '\n\n'), between: '\n\n', top: 'Wall' },
    ['Verse 1', 'Verse 1', A, B],
    ['Chorus', 'Chorus', C, D],
  ),
  built(
    'dashes between chords',
    { line: (l) => (l === CH ? 'G - D - Em - C' : over(l)), top: 'Wall' },
    ['Intro:', 'Intro', CH],
    ['Verse:', 'Verse', A],
  ),
  built(
    'commas between chords',
    { line: (l) => (l === CH ? 'G, D, Em, C' : over(l)), top: 'Wall' },
    ['Intro', 'Intro', CH],
    ['Verse', 'Verse', A, B],
  ),
  built(
    'arrows between chords',
    { line: (l) => (l === CH ? 'G → D → Em → C' : over(l)), top: 'Wall' },
    ['Riff', 'Riff', CH],
    ['Verse', 'Verse', B],
  ),
  built(
    'chords alone in brackets',
    { line: (l) => (l === CH ? '[G] [D] [Em] [C]' : l), top: 'Wall' },
    ['Intro', 'Intro', CH],
    ['Verse', 'Verse', A, C],
  ),
  built(
    'numbers in words',
    { line: over, top: 'Wall' },
    ['VERSE ONE', 'Verse one', A],
    ['VERSE TWO', 'Verse two', B],
    ['CHORUS', 'Chorus', C],
  ),
  built(
    'ordinals',
    { line: over, top: 'Wall' },
    ['1st Verse', '1st verse', A],
    ['2nd Verse', '2nd verse', B],
    ['Chorus', 'Chorus', C],
  ),
  built(
    'short names',
    { line: over, top: 'Wall' },
    ['V1:', 'V1', A],
    ['Ch:', 'Ch', C],
    ['V2:', 'V2', B],
  ),
  built(
    'a hash before the number',
    { line: over, top: 'Wall' },
    ['Verse #1', 'Verse #1', A],
    ['Chorus', 'Chorus', D],
  ),
  built(
    'stars and colons',
    { line: over, top: '*** Wall ***' },
    ['** Verse 1: **', 'Verse 1', A],
    ['** Chorus: **', 'Chorus', C],
  ),
  built(
    'with stage words',
    { line: over, top: 'Wall' },
    ['Verse 1 [softly]', 'Verse 1', A],
    ['Chorus - all together', 'Chorus', C],
    ['Outro, slowing down', 'Outro', D],
  ),
  built(
    'Windows ends and hard spaces',
    { line: (l) => over(l).replaceAll(' ', '\u00A0'), end: '\r\n', top: 'Wall' },
    ['Verse', 'Verse', A, B],
    ['Chorus', 'Chorus', C],
  ),
  built(
    'deep indent',
    {
      line: (l) =>
        over(l)
          .split('\n')
          .map((x) => `      ${x}`)
          .join('\n'),
      top: 'Wall',
    },
    ['Verse', 'Verse', A, B],
    ['Chorus', 'Chorus', C],
  ),
  built('rare chords', { line: over, top: 'Wall' }, [
    'Verse',
    'Verse',
    '[CΔ7]Down the [F#ø]stair and [B7(b9)]over',
    '[E♭maj7]nobody [A°7]heard the [C6/9]kettle',
    '[Dadd9/F#]turn the [G+]lamp [Bbm7b5]higher',
  ]),
  built(
    'credits, tabs and shapes between',
    {
      line: over,
      top: 'Wall\nwords: nobody, music: nobody\nStandard tuning EADGBE',
      bottom: 'e|---0---2---|\nB|---1---3---|\nG: 320003  D: xx0232\nwritten down by ear, page 1/2',
    },
    ['Verse', 'Verse', A, B],
    ['Chorus', 'Chorus', C],
  ),
  built(
    'silence',
    { line: (l) => over(l).replace('N.C.', 'NC  '), top: 'Wall' },
    ['Verse', 'Verse', '[N.C.]Down the stair and [D]over', B],
    ['Break', 'Break', '[N.C.]nobody heard the [C]kettle'],
  ),
  built(
    'lines numbered',
    { line: (l) => over(l), top: 'Wall' },
    ['1.', 'Verse 1', A, B],
    ['2.', 'Verse 2', C],
    ['Chorus', 'Chorus', D],
  ),
  built(
    'chords with stars and dots',
    {
      line: (l) => above(markedLine(l), (c) => (c === 'C' ? 'C*' : c === 'D' ? 'D...' : c)),
      top: 'Wall',
    },
    ['Verse', 'Verse', A, B],
    ['Chorus', 'Chorus', D],
  ),
  built(
    'in capitals',
    {
      line: (l) => {
        const m = markedLine(l);
        return above({ ...m, words: m.words });
      },
      top: 'THE WALL\nBY NOBODY AT ALL',
    },
    [
      'VERSE',
      'Verse',
      A.toUpperCase().replace('EM', 'Em'),
      B.replace('[Em]nobody heard the [C]kettle call', '[Em]NOBODY HEARD THE [C]KETTLE CALL'),
    ],
    ['CHORUS', 'Chorus', '[C]ALL THE [G/B]BOATS ARE [Am]HOME'],
  ),
  {
    name: 'bars without a first line',
    text: 'Grid\n\nA:\nG . . . | D . . . | Em . . . | C . . .\n\nB:\nAm . D . | G . . . |\n',
    truth: [
      ['A', ['[G][D][Em][C]']],
      ['B', ['[Am][D][G]']],
    ],
  },
  {
    name: 'bars between double lines',
    text: 'Grid\n\nIntro\n||: G / / / | D / / / :||\n\nVerse\n|| Em / C / | G / D / ||\n| Am | % | C | D ||\n',
    truth: [
      ['Intro', ['[G][D]']],
      ['Verse', ['[Em][C][G][D]', '[Am][C][D]']],
    ],
  },
  {
    name: 'bars with numbers and names in front',
    text: 'Grid\n\nVerse   | G    | D    | Em   | C    |\n        | G    | D    | C    | C    |\nChorus  | Am   | D    | G    | G    |\n',
    truth: [
      ['Verse', ['[G][D][Em][C]', '[G][D][C][C]']],
      ['Chorus', ['[Am][D][G][G]']],
    ],
  },
];

const CZ = '[Am]Na mostě [Dm]stojí [E]starý pán';
const FI = '[C]Sillan alla [G]virtaa [Am]vesi';
const HU = '[D]Lámpa ég a [G]híd a[A]latt';
const RU = '[Em]Тихий дождь [Am]идёт над [B7]городом';

/** Looked at once, after the reader had been mended by the sheets above. */
export const THIRD: readonly HeldOut[] = [
  built(
    'Czech',
    { line: over, top: 'Most' },
    ['Sloka 1:', 'Sloka 1', CZ],
    ['Refrén:', 'Refrén', CZ],
  ),
  built(
    'Finnish',
    { line: over, top: 'Silta' },
    ['Säkeistö 1', 'Säkeistö 1', FI],
    ['Kertosäe', 'Kertosäe', FI],
  ),
  built(
    'Hungarian',
    { line: over, top: 'Lámpa' },
    ['1. versszak', 'Versszak', HU],
    ['Refrén', 'Refrén', HU],
  ),
  built(
    'Russian, with H',
    { line: (l) => above(markedLine(l), german), top: 'Дождь' },
    ['Куплет 1:', 'Куплет 1', RU],
    ['Припев:', 'Припев', RU],
  ),
  built(
    'brackets with room',
    { line: (l) => l.replace(/\[([^\]]+)\]/gu, '[ $1 ]'), top: 'Wall' },
    ['Verse', 'Verse', A, B],
    ['Chorus', 'Chorus', C],
  ),
  built(
    'small letters throughout',
    { line: (l) => above(markedLine(l), (c) => c.toLowerCase()), top: 'wall' },
    [
      'verse',
      'Verse',
      '[G]down the stair and [D]over',
      '[Em]nobody heard the [C]kettle',
      '[Am7]turn the [D7]lamp',
    ],
  ),
  built(
    'dashes as beats',
    { line: (l) => (l === CH ? 'G - - - | D - - - | Em - - - | C - - - |' : over(l)), top: 'Wall' },
    ['Intro', 'Intro', CH],
    ['Verse', 'Verse', A],
  ),
  built(
    'a second verse in words alone',
    { line: (l) => (l.includes('[') ? over(l) : l), top: 'Wall' },
    ['Verse 1', 'Verse 1', A, B],
    ['Verse 2', 'Verse 2', 'Down the lane and under the tree', 'nobody saw the sparrow fall'],
    ['Chorus', 'Chorus', C],
  ),
  built(
    'headings with rules under them',
    { line: over, top: 'Wall\n====' },
    ['Verse 1\n-------', 'Verse 1', A, B],
    ['Chorus\n------', 'Chorus', C],
  ),
  built(
    'quotation marks and dots',
    { line: over, top: '"Wall"' },
    ['Verse', 'Verse', '[G]“Down the stair,” she [D]said … [Em]and left', B],
    ['Chorus', 'Chorus', C],
  ),
  built(
    'chords behind the words',
    { line: over, top: 'Wall' },
    ['Verse', 'Verse', '[G]Down the stair   [D]   [C]', B],
    ['Chorus', 'Chorus', D],
  ),
  built(
    'hyphens between syllables',
    { line: over, top: 'Wall' },
    ['Verse', 'Verse', '[G]Har - bour [D]lights are [Em]burn - ing'],
    ['Chorus', 'Chorus', '[C]Sail [G]on,  sail [Am]on'],
  ),
  built(
    'a note for the player in brackets',
    { line: over, top: 'Wall', bottom: '(repeat to fade)' },
    ['Verse', 'Verse', A, B],
    ['Solo (over the verse)', 'Solo', CH],
    ['Chorus', 'Chorus', C],
  ),
  built(
    'the key in a line with the capo',
    { line: over, top: 'Wall\nCapo: 2nd fret, key of A, 4/4, 96 bpm' },
    ['Verse:', 'Verse', A],
    ['Pre-chorus:', 'Pre-chorus', B],
    ['Chorus:', 'Chorus', C],
  ),
  {
    name: 'a table with room around it',
    text: 'Grid\n\n| Verse  |\n| G      | D      |\n| Em     | C   D  |\n\n| Chorus |\n| Am     | %      |\n| D7     | G      |\n',
    truth: [
      ['Verse', ['[G][D]', '[Em][C][D]']],
      ['Chorus', ['[Am]', '[D7][G]']],
    ],
  },
];

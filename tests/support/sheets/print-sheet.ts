// Prints a song as people set sheets: chords above, in brackets or in bars; heads, names and noise of many kinds.
import type { Song } from './songs.ts';

export interface SheetStyle {
  readonly name: string;
  readonly chords: 'above' | 'brackets' | 'bars' | 'uneven';
  readonly heading: (name: string) => string;
  readonly head?: (song: Song) => readonly string[];
  /** Another name for a chord: German letters, small minors. */
  readonly symbol?: (symbol: string) => string;
  /** Lines that are no song, put between the sections. */
  readonly noise?: readonly string[];
  readonly lineEnd?: string;
  /** Leading spaces of all lines of the song, and lines between them. */
  readonly indent?: number;
  readonly gap?: number;
  /** Tabs for runs of eight columns. */
  readonly tabs?: boolean;
}

export interface TruthLine {
  readonly words: string;
  readonly chords: readonly (readonly [symbol: string, at: number])[];
}

/** The words of a bracketed line, with each chord and the character it stands on. */
export function truthOf(line: string): TruthLine {
  const chords: [string, number][] = [];
  let words = '';
  let last = 0;
  for (const match of line.matchAll(/\[([^\]]+)\]/gu)) {
    words += line.slice(last, match.index);
    chords.push([match[1]!, words.length]);
    last = match.index + match[0].length;
  }
  return { words: (words + line.slice(last)).trimEnd(), chords };
}

/** Widths of Helvetica in thousandths of its size, in steps as a browser rounds them (from memory). */
const NARROW = new Map<string, number>([...'ijl'].map((s) => [s, 222] as const));
for (const s of ' ,.ft:;!/I') NARROW.set(s, 278);
for (const s of 'r-') NARROW.set(s, 333);
for (const s of 'ckszvxyJ') NARROW.set(s, 500);
for (const s of 'wCDHNRU') NARROW.set(s, 722);
for (const s of 'ABEKPSVXY') NARROW.set(s, 667);
for (const s of 'mM') NARROW.set(s, 833);
for (const s of 'GOQ') NARROW.set(s, 778);
for (const s of 'FTZ') NARROW.set(s, 611);
NARROW.set('’', 222).set('W', 944).set('&', 667);
const width = (text: string): number =>
  [...text].reduce((sum, s) => sum + (NARROW.get(s) ?? 556), 0);

function above({ words, chords }: TruthLine, symbol: (s: string) => string): string {
  let line = '';
  for (const [chord, at] of chords) {
    line = line.padEnd(at);
    line += (line === '' || line.endsWith(' ') ? '' : ' ') + symbol(chord);
  }
  return words.trim() === '' ? line : `${line}\n${words}`;
}

/** As many spaces as bring the chord over its letter on paper. */
function uneven({ words, chords }: TruthLine, symbol: (s: string) => string): string {
  let line = '';
  for (const [chord, at] of chords) {
    const spaces = Math.round((width(words.slice(0, at).padEnd(at)) - width(line)) / 278);
    line += ' '.repeat(Math.max(line === '' ? 0 : 1, spaces)) + symbol(chord);
  }
  return words.trim() === '' ? line : `${line}\n${words}`;
}

function brackets({ words, chords }: TruthLine, symbol: (s: string) => string): string {
  let out = words.padEnd(chords.at(-1)?.[1] ?? 0);
  for (const [chord, at] of chords.toReversed())
    out = `${out.slice(0, at)}[${symbol(chord)}]${out.slice(at)}`;
  return out;
}

const bars = ({ chords }: TruthLine, symbol: (s: string) => string): string =>
  `| ${chords.map(([chord]) => symbol(chord)).join(' | ')} |`;

const PRINTERS = { above, uneven, brackets, bars };

export function printSheet(song: Song, style: SheetStyle): string {
  const symbol = style.symbol ?? ((s: string) => s);
  const indent = ' '.repeat(style.indent ?? 0);
  const blocks = song.sections.map(({ name, lines }) => {
    const printed = lines.map((line) => PRINTERS[style.chords](truthOf(line), symbol));
    const body = printed.join('\n'.repeat(1 + (style.gap ?? 0))).split('\n');
    return [style.heading(name), ...body.map((line) => indent + line)].join('\n');
  });
  const noisy = blocks.flatMap((block, i) => {
    const noise = style.noise?.[i % style.noise.length];
    return noise ? [block, noise] : [block];
  });
  const head = style.head?.(song) ?? [song.title, `by ${song.by}`];
  const text = [head.join('\n'), ...noisy].join('\n\n');
  const tabbed = style.tabs ? text.split('\n').map(withTabs).join('\n') : text;
  return `${tabbed}\n`.replaceAll('\n', style.lineEnd ?? '\n');
}

/** Runs of spaces up to a stop of eight columns become a tab, as some editors write them. */
function withTabs(line: string): string {
  let out = '';
  for (let i = 0; i < line.length; i += 8) {
    const part = line.slice(i, i + 8);
    out += part.length === 8 && /\s{2,}$/u.test(part) ? `${part.trimEnd()}\t` : part;
  }
  return out;
}

const german = (symbol: string): string =>
  symbol
    .replace(/(^|\/)B(?!b)/gu, '$1H')
    .replace(/(^|\/)Bb/gu, '$1B')
    .replace(/(^|\/)([A-H])#/gu, '$1$2is')
    .replace(/^([A-H](?:is)?)m(?!aj)/u, (_, root: string) => `${root}m`);

const small = (symbol: string): string =>
  symbol.replace(
    /^([A-G]#?)m(?!aj)(.*)$/u,
    (_, root: string, rest: string) => root.toLowerCase() + rest,
  );

const STAFF = [
  'e|-----0---------0-----|',
  'B|---1---1-----3---3---|',
  'G|-0-------0-0---------|',
  'D|---------------------|',
  'A|-3-------------------|',
  'E|---------------3-----|',
].join('\n');

const GERMAN_NAMES: Record<string, string> = {
  Intro: 'Vorspiel',
  Verse: 'Strophe',
  Chorus: 'Refrain',
  Outro: 'Schluss',
};
const inGerman = (name: string): string =>
  name.replace(/^(?:Intro|Verse|Chorus|Outro)/u, (word) => GERMAN_NAMES[word]!);
/** What the reader should call a section of the German sheets. */
export const germanName = inGerman;

/** Six ways to set each song; together with the songs they make sixty sheets. */
export const STYLES: readonly (readonly SheetStyle[])[] = [
  [
    { name: 'above, brackets round headings', chords: 'above', heading: (n) => `[${n}]` },
    {
      name: 'above, colon, Windows',
      chords: 'above',
      heading: (n) => `${n}:`,
      lineEnd: '\r\n',
      head: (s) => [
        `${s.title} - ${s.by}`,
        `Key: ${s.key.replace(' minor', 'm')}`,
        `Capo ${s.capo}`,
      ],
    },
    {
      name: 'above, capitals, noise',
      chords: 'above',
      heading: (n) => n.toUpperCase(),
      noise: [STAFF, '© nobody in particular', '- 2 -', 'Page 3 of 4'],
    },
    { name: 'above, indented, rules', chords: 'above', heading: (n) => `== ${n} ==`, indent: 3 },
    { name: 'uneven letters', chords: 'uneven', heading: (n) => `[${n}]` },
    { name: 'in brackets', chords: 'brackets', heading: (n) => `${n}:` },
  ],
  [
    { name: 'above, parentheses', chords: 'above', heading: (n) => `(${n})` },
    {
      name: 'above, tabs',
      chords: 'above',
      heading: (n) => `[${n}]`,
      tabs: true,
      head: (s) => [s.title, '', `Words and music by ${s.by}`, `capo: ${s.capo}`],
    },
    {
      name: 'small minors',
      chords: 'above',
      heading: (n) => `${n}`,
      symbol: small,
      lineEnd: '\r\n',
    },
    { name: 'German', chords: 'above', heading: (n) => `${inGerman(n)}:`, symbol: german },
    {
      name: 'bars',
      chords: 'bars',
      heading: (n) => `${n}`,
      head: (s) => [`Title: ${s.title}`, `Artist: ${s.by}`, `Tempo: 96`, `Time: 4/4`],
    },
    {
      name: 'in brackets, noise',
      chords: 'brackets',
      heading: (n) => `### ${n}`,
      noise: ['www.example.org/sheets', STAFF, '3/4'.replace('3/4', '- 1 -'), '***'],
      lineEnd: '\r\n',
    },
  ],
];

// What holds for the whole sheet and is decided once: how it names chords, and whether they stand inside the words.
import { Remembered } from '../base/remembered.ts';
import { readChord } from '../harmony/read.ts';
import { inSquareBrackets } from './parentheses.ts';
import { type SheetNames, namesOf, symbolOf } from './symbols.ts';
import { type ReadSymbol, type Token, bracketedIn, tokensOf } from './tokens.ts';
import { labelOf } from './labels.ts';

export interface Dialect {
  readonly names: SheetNames;
  /** Do chords stand in brackets between the words? */
  readonly inline: boolean;
  readonly symbolOf: ReadSymbol;
}

const BOTH_WAYS: SheetNames = { german: true, smallMinor: true };
const NEITHER: SheetNames = { german: false, smallMinor: false };

/** A chord in one way of naming or the other. */
const eitherWay: ReadSymbol = remembering(
  (word) => symbolOf(word, BOTH_WAYS) ?? symbolOf(word, NEITHER),
);

/** One for each way of naming: what it knows of a word, the next sheet need not ask again. */
const readers = new Remembered<string, ReadSymbol>(4);
const readerOf = (names: SheetNames): ReadSymbol =>
  readers.of(`${names.german} ${names.smallMinor}`, () =>
    remembering((word) => symbolOf(word, names)),
  );

/** The lines with chords in square brackets, where the sheet marks them otherwise: (G), {G}, <b>G</b>, *G*. */
export const withSquareBrackets = (lines: readonly string[]): readonly string[] =>
  inSquareBrackets(lines, (word) => eitherWay(word) !== undefined);

/** How the sheet writes its chords. */
export function dialectOf(lines: readonly string[]): Dialect {
  const typed = lines.flatMap(chordWords);
  const plain = namesOf(typed);
  const german = plain.german || (speaksGerman(lines) && flatFits(typed));
  const names = { ...plain, german };
  const symbol = readerOf(names);
  const inline = lines.some((line) => {
    const brackets = bracketedIn(line, symbol);
    const between = brackets.length > 0 ? tokensOf(without(line, brackets), symbol) : [];
    return between.some(({ role, text }) => role === 'word' && /\p{L}/u.test(text));
  });
  return { names, inline, symbolOf: symbol };
}

const without = (line: string, brackets: readonly { from: number; to: number }[]): string =>
  brackets.reduceRight((text, { from, to }) => text.slice(0, from) + text.slice(to), line);

/** Words of a line that can only be a row of chords, or that stand in brackets. */
function chordWords(line: string): readonly string[] {
  const typedIn = (tokens: readonly Token[]): string[] =>
    tokens.flatMap(({ chords }) => chords.map(({ typed }) => typed));
  const brackets = bracketedIn(line, eitherWay);
  if (brackets.length > 0)
    return brackets.flatMap(({ from, to }) =>
      typedIn(tokensOf(line.slice(from + 1, to - 1), eitherWay)),
    );
  const label = labelOf(line);
  const row = label && label.rest !== '' && label.known !== 'own' ? label.rest : line;
  const tokens = tokensOf(row, eitherWay);
  const chords = tokens.filter(({ role }) => role === 'chord');
  const words = tokens.filter(({ role }) => role === 'word').length;
  return chords.length > 0 && words === 0 ? typedIn(chords) : [];
}

const GERMAN =
  /(?:\b(?:Strophe|Kapo|Kapodaster|Tonart|Vorspiel|Zwischenspiel|Worte|Weise|und|der|die|das|ich|nicht|ist|ein)\b|[äöüß])/u;
const speaksGerman = (lines: readonly string[]): boolean =>
  lines.filter((line) => GERMAN.test(line)).length > lines.length * 0.15;

/** Half-tones of the major scale. */
const SCALE = [0, 2, 4, 5, 7, 9, 11];

/** In a German sheet a B among flats is B flat: the roots then share a key better. */
function flatFits(typed: readonly string[]): boolean {
  if (!typed.some((word) => /^B(?!b|♭|es)/u.test(word))) return false;
  // Who writes B flat with its sign means B natural without it.
  if (typed.some((word) => /^B[b♭]/u.test(word))) return false;
  const fit = (german: boolean): number => {
    const roots = typed.flatMap((word) => {
      const chord = readChord(symbolOf(word, { german, smallMinor: false }) ?? '');
      return chord.ok && chord.value.kind === 'chord' ? [chord.value.rootPc] : [];
    });
    const within = (key: number): number =>
      roots.filter((root) => SCALE.includes((root - key + 12) % 12)).length;
    return Math.max(...Array.from({ length: 12 }, (_, key) => within(key)));
  };
  return fit(true) > fit(false);
}

function remembering(read: ReadSymbol): ReadSymbol {
  const known = new Remembered<string, string | undefined>(5_000);
  return (word) => known.of(word, () => read(word));
}

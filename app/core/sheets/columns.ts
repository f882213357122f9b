// From the column of a chord to the character under it, for sheets set in even and in uneven letters.
import { TYPES, type WidthOf } from './letter-widths.ts';

/** Where each character of a line begins on paper, and where the line ends. */
function edges(text: string, widthOf: WidthOf): readonly number[] {
  let x = 0;
  return [0, ...Array.from({ length: text.length }, (_, i) => (x += widthOf(text[i]!)))];
}

/** Every character as wide as the other, or in a type of uneven widths. */
export type Setting = 'even' | WidthOf;

/** The character of `words` that stands under column `column` of `chords`. */
export function characterUnder(
  chords: string,
  column: number,
  words: string,
  setting: Setting,
): number {
  if (setting === 'even') return settled(words, uncrowded(chords, column, words));
  const x = edges(chords, setting)[column]!;
  const at = edges(words, setting);
  const end = at.at(-1)!;
  if (x >= end) return words.length + Math.round((x - end) / setting(' '));
  return likeliestAt(x, words, at).place;
}

/** The character that a chord at `x` belongs to, and how far off it stands. */
function likeliestAt(
  x: number,
  words: string,
  at: readonly number[],
): { place: number; off: number } {
  let likeliest = { place: 0, off: Infinity };
  for (let i = 0; i < words.length; i++) {
    const away = Math.abs(at[i]! - x);
    // What a letter is can only put it further off.
    if (words[i] === ' ' || away >= likeliest.off) continue;
    const off = away + unlikely(words, i);
    if (off < likeliest.off) likeliest = { place: i, off };
  }
  return likeliest;
}

/** Where no syllable begins. */
const WITHIN = 420;

/** How far off a likelier place may lie: spaces and fonts bring a chord to its letter only roughly. */
function unlikely(words: string, i: number): number {
  if (isStart(words, i)) return 0;
  const begins = /^[^aeiouyäöü\W][aeiouyäöüàâáéèêëîïíìôóòûúùœæåøőű]/iu.test(words.slice(i, i + 2));
  return begins && hasVowelBefore(words, i) ? 170 : WITHIN;
}

/** In the same word. */
function hasVowelBefore(words: string, i: number): boolean {
  for (let k = i - 1; k >= 0 && /[\p{L}’']/u.test(words[k]!); k--) {
    if (VOWEL.test(words[k]!)) return true;
  }
  return false;
}

const VOWEL = /[aeiouyäöüàâáéèêëîïíìôóòûúùœæåøőű]/iu;

const isStart = (words: string, i: number): boolean =>
  i < words.length && words[i] !== ' ' && (i === 0 || words[i - 1] === ' ');

/** A chord over a space belongs to the word after it, one over a hyphen between syllables to the next syllable. */
function settled(words: string, at: number): number {
  if (at >= words.length || !/^\s|^[-–—]\s/u.test(words.slice(at))) return at;
  const next = /^\s{0,2}(?:[-–—]\s{1,2})?(?=[^\s–—-])/u.exec(words.slice(at));
  return next ? at + next[0].length : at;
}

/**
 * A chord with a single space before it may have been pushed on by the chord there: where no syllable begins under it,
 * it belongs to the last one that begins behind the start of that chord.
 */
function uncrowded(chords: string, column: number, words: string): number {
  const before = /(?<=^|\s)[A-Ha-h]\S* $/u.exec(chords.slice(0, column))?.[0].length;
  if (before === undefined || isSyllable(words, column)) return column;
  for (let at = column - 1; at > column - before; at--) if (isSyllable(words, at)) return at;
  return column;
}

/** A letter after a space or a hyphen. */
const isSyllable = (words: string, at: number): boolean =>
  /\p{L}/u.test(words[at] ?? '') && (at === 0 || /[\s–—-]/u.test(words[at - 1]!));

/** A line of chords with the line of words under it, and where its chords begin. */
export interface ChordsOverWords {
  readonly chords: string;
  readonly columns: readonly number[];
  readonly words: string;
}

/** A few chords prove nothing (ours, no source). */
const FEWEST = 4;
const CLEARLY = 2;

/**
 * Chords stand over the beginnings of words more often than chance would have it, and seldom behind the last
 * word: whichever setting explains that better in the whole sheet is taken. A place that both settings agree on
 * says nothing. Of the types that one is compared in which the chords stand nearest to where they would belong.
 */
export function settingOf(lines: readonly ChordsOverWords[]): Setting {
  // A line that comes again proves nothing more.
  const pairs = [...new Map(lines.map((one) => [`${one.chords}\n${one.words}`, one])).values()];
  const type = nearestType(pairs);
  let count = 0;
  let forUneven = 0;
  for (const pair of pairs) {
    const { words } = pair;
    const onPaper = edges(words, type);
    const marks = edges(pair.chords, type);
    for (const column of pair.columns) {
      const x = marks[column]!;
      const at = onPaper.findIndex((edge, k) => edge + (onPaper[k + 1] ?? edge) > 2 * x);
      const uneven = at < 0 ? words.length : at;
      if (uneven === column || (uneven >= words.length && column >= words.length)) continue;
      count++;
      forUneven += unevenEvidence(words, onPaper, x) - evenEvidence(words, column);
    }
  }
  return count >= FEWEST && forUneven > CLEARLY ? type : 'even';
}

function nearestType(pairs: readonly ChordsOverWords[]): WidthOf {
  const fits = TYPES.map((type) => fitOf(pairs, type));
  return TYPES[fits.indexOf(Math.max(...fits))]!;
}

/** How well chords stand over words, as logarithms of how much likelier that is than by chance. */
export const fitOf = (lines: readonly ChordsOverWords[], setting: Setting): number =>
  lines.reduce((sum, line) => sum + fitOfLine(line, setting), 0);

function fitOfLine({ chords, columns, words }: ChordsOverWords, setting: Setting): number {
  if (setting === 'even')
    return columns.reduce((sum, column) => sum + evenEvidence(words, column), 0);
  const onPaper = edges(words, setting);
  const marks = edges(chords, setting);
  return columns.reduce((sum, column) => sum + unevenEvidence(words, onPaper, marks[column]!), 0);
}

/** Logarithms of how much likelier a place is than by chance (our own sheets, by hand). */
function evenEvidence(words: string, at: number): number {
  if (at >= words.length) return -0.5;
  const place = words[at] === ' ' ? at + 1 : at;
  if (isStart(words, place)) return 1.3;
  return unlikely(words, place) < WITHIN ? -0.5 : -1.5;
}

/** Spaces bring a chord to its letter only within half their width, and types that are nearly the same within a letter. */
function unevenEvidence(words: string, onPaper: readonly number[], x: number): number {
  if (x >= onPaper.at(-1)!) return -0.5;
  let most = -1.6;
  for (let i = 0; i < words.length; i++) {
    const off = Math.abs(onPaper[i]! - x);
    if (off > NEAR || words[i] === ' ') continue;
    const place = isStart(words, i) ? 1.5 : unlikely(words, i) < WITHIN ? 0.2 : -1.45;
    const reward = place - (2.1 * off) / NEAR;
    most = Math.max(most, reward);
  }
  return most;
}

/** About a letter, in thousandths of the type's size. */
const NEAR = 500;

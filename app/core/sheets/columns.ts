// From the column of a chord to the character under it, for sheets set in even and in uneven letters.

/** Widths in thousandths of the type's size, as in the common sans serif (Helvetica's metrics; from memory). */
const WIDTHS: readonly (readonly [signs: string, width: number])[] = [
  ["ijl’'|", 222],
  [' ,.:;!/ftI[]', 278],
  ['r-()"', 333],
  ['ckszvxyJ', 500],
  ['FTZ', 611],
  ['ABEKPSVXY', 667],
  ['wCDHNRUÄÜ', 722],
  ['GOQÖ', 778],
  ['mM', 833],
  ['W', 944],
];
const WIDTH = new Map(
  WIDTHS.flatMap(([signs, width]) => [...signs].map((sign) => [sign, width] as const)),
);
/** Most letters and all figures. */
const USUAL = 556;

const widthOf = (sign: string): number => WIDTH.get(sign) ?? USUAL;

/** Where each character of a line begins on paper, and where the line ends. */
function edges(text: string): readonly number[] {
  let x = 0;
  return [0, ...Array.from({ length: text.length }, (_, i) => (x += widthOf(text[i]!)))];
}

export type Setting = 'even' | 'uneven';

/** The character of `words` that stands under column `column` of `chords`. */
export function characterUnder(
  chords: string,
  column: number,
  words: string,
  setting: Setting,
): number {
  if (setting === 'even') return settled(words, column);
  const x = edges(chords)[column]!;
  const at = edges(words);
  const end = at.at(-1)!;
  if (x >= end) return words.length + Math.round((x - end) / widthOf(' '));
  const places = [...words].map((_, i) => i).filter((i) => words[i] !== ' ');
  const off = (i: number): number => Math.abs(at[i]! - x) + unlikely(words, i);
  return places.reduce((best, i) => (off(i) < off(best) ? i : best), places[0] ?? 0);
}

/** How far off a likelier place may lie: spaces and fonts bring a chord to its letter only roughly. */
function unlikely(words: string, i: number): number {
  if (isStart(words, i)) return 0;
  const word = /[\p{L}’']*$/u.exec(words.slice(0, i))![0];
  const begins = VOWEL.test(word) && /^[^aeiouyäöü\W][aeiouyäöü]/iu.test(words.slice(i));
  return begins ? 170 : 420;
}

const VOWEL = /[aeiouyäöü]/iu;

const isStart = (words: string, i: number): boolean =>
  i < words.length && words[i] !== ' ' && (i === 0 || words[i - 1] === ' ');

/** A chord over a space belongs to the word after it, one over a hyphen between syllables to the next syllable. */
function settled(words: string, at: number): number {
  if (at >= words.length || !/^\s|^[-–—]\s/u.test(words.slice(at))) return at;
  const next = /^\s{0,2}(?:[-–—]\s{1,2})?(?=[^\s–—-])/u.exec(words.slice(at));
  return next ? at + next[0].length : at;
}

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
 * says nothing.
 */
export function settingOf(lines: readonly ChordsOverWords[]): Setting {
  // A line that comes again proves nothing more.
  const pairs = [...new Map(lines.map((one) => [`${one.chords}\n${one.words}`, one])).values()];
  let count = 0;
  let forUneven = 0;
  for (const { chords, columns, words } of pairs) {
    const onPaper = edges(words);
    const marks = edges(chords);
    for (const column of columns) {
      const x = marks[column]!;
      const at = onPaper.findIndex((edge, k) => edge + (onPaper[k + 1] ?? edge) > 2 * x);
      const uneven = at < 0 ? words.length : at;
      if (uneven === column || (uneven >= words.length && column >= words.length)) continue;
      count++;
      forUneven += evidence(words, uneven, UNEVEN) - evidence(words, column, EVEN);
    }
  }
  return count >= FEWEST && forUneven > CLEARLY ? 'uneven' : 'even';
}

/** Logarithms of how much likelier a place is under a setting than by chance (our own sheets, by hand). */
interface Likely {
  readonly reach: number;
  readonly start: number;
  readonly inside: number;
  readonly behind: number;
}
const EVEN: Likely = { reach: 0, start: 1.3, inside: -1.1, behind: -0.9 };
/** Spaces bring a chord to its letter only roughly, so its neighbours count, too. */
const UNEVEN: Likely = { reach: 1, start: 0.45, inside: -1.3, behind: -0.9 };

function evidence(words: string, at: number, { reach, start, inside, behind }: Likely): number {
  if (at >= words.length) return behind;
  const near = [at, at + reach, at - reach, words[at] === ' ' ? at + 1 : at];
  return near.some((i) => i >= 0 && isStart(words, i)) ? start : inside;
}

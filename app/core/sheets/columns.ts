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
  const far = (i: number): number => Math.abs(at[i]! - x);
  const places = [...words].map((_, i) => i).filter((i) => words[i] !== ' ');
  const nearest = places.reduce((best, i) => (far(i) < far(best) ? i : best), places[0] ?? 0);
  // Spaces bring a chord to its letter only to half a space: within that the start of a word is meant.
  const start = places.find(
    (i) => isStart(words, i) && far(i) <= HALF_SPACE + far(nearest) && far(i) < 2 * HALF_SPACE,
  );
  return start ?? nearest;
}

const HALF_SPACE = 140;

const isStart = (words: string, i: number): boolean =>
  i < words.length && words[i] !== ' ' && (i === 0 || words[i - 1] === ' ');

/** A chord over a space belongs to the word after it. */
function settled(words: string, at: number): number {
  if (at >= words.length || words[at] !== ' ') return at;
  const next = words.slice(at).search(/\S/u);
  return next >= 0 && next <= 2 ? at + next : at;
}

/** A line of chords with the line of words under it, and where its chords begin. */
export interface ChordsOverWords {
  readonly chords: string;
  readonly columns: readonly number[];
  readonly words: string;
}

/** A few chords prove nothing (ours, no source). */
const FEWEST = 6;
const CLEARLY = 0.12;

/**
 * Chords stand over the beginnings of words or syllables, and not far behind the last word: whichever
 * setting of the whole sheet says so more often is taken.
 */
export function settingOf(lines: readonly ChordsOverWords[]): Setting {
  // A line that comes again proves nothing more.
  const pairs = [...new Map(lines.map((one) => [`${one.chords}\n${one.words}`, one])).values()];
  let even = 0;
  let uneven = 0;
  for (const { chords, columns, words } of pairs) {
    const onPaper = edges(words);
    const marks = edges(chords);
    for (const column of columns) {
      even += hit(words, column);
      const x = marks[column]!;
      const i = onPaper.findIndex((edge, k) => edge + (onPaper[k + 1] ?? edge) > 2 * x);
      uneven += hit(
        words,
        i < 0 ? words.length + Math.round((x - onPaper.at(-1)!) / widthOf(' ')) : i,
        1,
      );
    }
  }
  const count = pairs.reduce((sum, { columns }) => sum + columns.length, 0);
  return count >= FEWEST && uneven - even > count * CLEARLY ? 'uneven' : 'even';
}

/** 1 over the beginning of a word, a little inside one, less than nothing far behind the words. */
function hit(words: string, at: number, reach = 0): number {
  if (at > words.length + 3) return -1;
  const starts = (i: number): boolean => i >= 0 && isStart(words, i);
  if (starts(at)) return 1;
  if (reach > 0 && (starts(at + 1) || starts(at - 1))) return 0.8;
  if (at < words.length && words[at] === ' ' && starts(at + 1)) return 0.8;
  return at < words.length ? 0.2 : 0;
}

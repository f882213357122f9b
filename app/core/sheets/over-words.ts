// Chords that stand over words: which line of words is under which chords, and which character under each.
import { type ChordsOverWords, type Setting, characterUnder, fitOf, settingOf } from './columns.ts';
import type { Dialect } from './dialect.ts';
import type { Label } from './labels.ts';
import type { Line, Reading } from './line.ts';
import type { PlacedChord } from './model.ts';
import { chordsAmong, tokensOf } from './tokens.ts';

/** A line of words, behind its label if it has one. */
export interface WordsUnder {
  readonly text: string;
  readonly label?: Label;
}

type Row = Pick<ChordsOverWords, 'chords' | 'words'>;

export class OverWords {
  readonly #lines: readonly Line[];
  readonly #readings: readonly Reading[];
  readonly #dialect: Dialect;
  readonly #setting: Setting;
  /** Do "(C)" and "[C]" stand over the words with their letter, rather than with the sign before it? */
  readonly #lettersMark: boolean;
  /** How well its chords stand over its words: logarithms of how much likelier that is than by chance. */
  readonly fit: number;

  constructor(lines: readonly Line[], readings: readonly Reading[], dialect: Dialect) {
    this.#lines = lines;
    this.#readings = readings;
    this.#dialect = dialect;
    const rows = this.#rows();
    this.#lettersMark = this.#letters(rows);
    const pairs = rows.map((row) => {
      const columns = this.chordsIn(row.chords).map(({ at }) => at);
      return { ...row, columns };
    });
    this.#setting = settingOf(pairs);
    this.fit = fitOf(pairs, this.#setting);
  }

  /** The words under a line of chords: the next line. @param from Where the chords begin. */
  under(i: number, from = 0): WordsUnder | undefined {
    const line = this.#lines[i + 1];
    const reading = this.#readings[i + 1];
    if (!line || !reading || line.gap) return undefined;
    if (reading.kind === 'words' && reading.rowAt === undefined) {
      // Chords behind a heading stand over words only if the words start where they do.
      const starts = line.text.length - line.text.trimStart().length;
      const behindName = this.#readings[i]!.kind === 'heading';
      return behindName && starts < from - 2 ? undefined : { text: line.text };
    }
    if (reading.kind !== 'heading' || reading.rest !== 'words') return undefined;
    const label = reading.label!;
    return { text: ' '.repeat(label.restAt) + label.rest, label };
  }

  /** The character of `words` under this column of a line of chords. */
  characterUnder(chords: string, column: number, words: string): number {
    return characterUnder(chords, column, words, this.#setting);
  }

  /** The chords of a line with the columns that they mark. */
  chordsIn(row: string): readonly PlacedChord[] {
    const chords = this.#typedIn(row);
    return this.#lettersMark
      ? chords.map((chord) => ({ ...chord, at: chord.at + signsBefore(chord.typed) }))
      : chords;
  }

  #typedIn(row: string): readonly PlacedChord[] {
    return chordsAmong(tokensOf(row, this.#dialect.symbolOf));
  }

  #letters(rows: readonly Row[]): boolean {
    let letter = 0;
    let sign = 0;
    for (const { chords, words } of rows) {
      for (const { typed, at } of this.#typedIn(chords)) {
        const before = signsBefore(typed);
        if (before === 0) continue;
        if (startsWord(words, at + before)) letter++;
        if (startsWord(words, at)) sign++;
      }
    }
    return letter >= sign;
  }

  /** Every line of chords with its words. */
  #rows(): readonly Row[] {
    return this.#lines.flatMap(({ text }, i): Row[] => {
      const under = this.#readings[i]?.kind === 'row' ? this.under(i) : undefined;
      return under ? [{ chords: text, words: under.text }] : [];
    });
  }
}

const signsBefore = (typed: string): number => /^[[({<*]*/u.exec(typed)?.[0].length ?? 0;

const startsWord = (words: string, i: number): boolean =>
  /(?:^|\s)$/u.test(words.slice(0, i)) && /\S/u.test(words[i] ?? '');

// Reads a sheet of chords and words as people have it: chords above words, in brackets, or in bars.
import { type ChordsOverWords, type Setting, characterUnder, settingOf } from './columns.ts';
import { barsOfLine } from './bars.ts';
import { type FieldValues, fieldOf } from './fields.ts';
import { type Heading, headingOf } from './headings.ts';
import { whyLeftOut } from './ignore.ts';
import { inSquareBrackets } from './parentheses.ts';
import type { DraftBar, LeftOut, PlacedChord, Sheet, SheetLine } from './model.ts';
import { type SheetNames, namesOf, symbolOf } from './symbols.ts';

/** Longest sheet that is looked at, in lines, and longest line; the rest is left out and said. */
const MAX_LINES = 5_000;
const MAX_COLUMNS = 400;

/** Any text gives a sheet, perhaps an empty one; nothing is lost without being named in `leftOut`. */
export function readSheet(text: string): Sheet {
  const lines = singleSpaced(inSquareBrackets(clean(text), EITHER));
  const names = namesOf(chordWords(lines.map(({ text: line }) => line)));
  return new SheetReader(lines, names).read();
}

/** One kind of line ends and spaces; tabs stand for up to eight columns (common practice, no source). */
function clean(text: string): string[] {
  return text
    .replace(/^\uFEFF/u, '')
    .split(/\r\n|\n|\r|\f/u)
    .slice(0, MAX_LINES)
    .map((line) =>
      withoutTabs(
        line
          .normalize('NFC')
          .replace(/[\u200B-\u200D\u2060]/gu, '')
          .replace(/[\u00A0\u2000-\u200A\u202F]/gu, ' '),
      )
        .trimEnd()
        .slice(0, MAX_COLUMNS),
    );
}

interface NumberedLine {
  readonly text: string;
  /** In the sheet, from 1. */
  readonly number: number;
}

/** Text from pages often has an empty line behind every line: there it parts nothing, and is passed over. */
function singleSpaced(lines: readonly string[]): readonly NumberedLine[] {
  const numbered = lines.map((text, i) => ({ text, number: i + 1 }));
  const full = numbered.filter(({ text }) => text.trim() !== '');
  const together = full.filter(({ number }, k) => full[k + 1]?.number === number + 1).length;
  if (full.length < 6 || together > full.length * 0.1) return numbered;
  return numbered.filter(({ text }, i) => text.trim() !== '' || lines[i - 1]?.trim() === '');
}

function withoutTabs(line: string): string {
  let out = '';
  for (const sign of line) out += sign === '\t' ? ' '.repeat(8 - (out.length % 8)) : sign;
  return out;
}

interface Word {
  readonly text: string;
  readonly at: number;
}

const wordsOf = (line: string): Word[] =>
  [...line.matchAll(/[^\s|]+/gu)].map((match) => ({ text: match[0], at: match.index }));

/** Signs that stand between chords: repeats, dashes, beats, similes. */
const BETWEEN =
  /^(?:[-–—/\\.%*:,;~>→·()]+|\(?[x×]\s?\d{1,2}\)?|\(?\d{1,2}\s?[x×]\)?|\(?(?:repeat|twice|etc\.?|2nd|1st|time:?)\)?)$/iu;
const BOTH_WAYS: SheetNames = { german: true, smallMinor: true };
const EITHER = (word: string): boolean =>
  symbolOf(word, BOTH_WAYS) !== undefined ||
  symbolOf(word, { german: false, smallMinor: false }) !== undefined;

/** Words of all lines that may be chords: they tell how the sheet names its chords. */
function chordWords(lines: readonly string[]): string[] {
  return lines.flatMap((line) => {
    const inBrackets = bracketed(line).map(({ text }) => text);
    if (inBrackets.length > 0) return inBrackets.filter(EITHER);
    const rest = headingOf(line)?.rest ?? line;
    const words = wordsOf(rest).map(({ text }) => text);
    const chords = words.filter(EITHER);
    return chords.length > 0 && words.every((word) => EITHER(word) || BETWEEN.test(word))
      ? chords
      : [];
  });
}

/** "[Am]" in a line; a bracket that holds no chord is not one. */
function bracketed(line: string): Word[] {
  return [...line.matchAll(/\[([^[\]]{1,16})\]/gu)].map((match) => ({
    text: match[1]!.trim(),
    at: match.index,
  }));
}

interface Open {
  name: string;
  named: boolean;
  times: number;
  lines: SheetLine[];
}

class SheetReader {
  readonly #lines: readonly string[];
  readonly #numbers: readonly number[];
  readonly #names: SheetNames;
  readonly #sections: Open[] = [];
  readonly #leftOut: LeftOut[] = [];
  readonly #fields: FieldValues = {};
  #setting: Setting = 'even';
  #top: string[] = [];
  /** Has a blank line stood since the last line of the song? */
  #gap = true;

  constructor(lines: readonly NumberedLine[], names: SheetNames) {
    this.#lines = lines.map(({ text }) => text);
    this.#numbers = lines.map(({ number }) => number);
    this.#names = names;
    this.#setting = settingOf(this.#pairs());
  }

  read(): Sheet {
    for (let i = 0; i < this.#lines.length; i++) i += this.#readLine(i);
    this.#takeHeadingAsTitle();
    const [title, by] = this.#titleAndBy();
    const { key, capo, tempo, meter } = this.#fields;
    return {
      ...(this.#names.german && { names: 'german' as const }),
      ...(title && { title }),
      ...(by && { by }),
      ...(key && { key }),
      ...(capo !== undefined && { capo }),
      ...(tempo !== undefined && { tempo }),
      ...(meter && { meter }),
      sections: this.#sections.filter((s) => s.lines.length > 0 || s.named),
      leftOut: this.#leftOut,
    };
  }

  /** A song may be called "Bridge" or "Refrain": a heading above all, with nothing under it, is its title. */
  #takeHeadingAsTitle(): void {
    const [first, second] = this.#sections;
    if (!first?.named || !second || first.lines.length > 0 || this.#top.length > 0) return;
    const start = this.#lines.findIndex((line) => line.trim() !== '');
    if (this.#fields.title || (this.#lines[start + 1] ?? '').trim() !== '') return;
    this.#top = [this.#lines[start]!.trim()];
    this.#sections.shift();
  }

  /** How many lines after this one were read with it. */
  #readLine(i: number): number {
    const line = this.#lines[i]!;
    if (line.trim() === '') {
      this.#gap = true;
      return 0;
    }
    const why = whyLeftOut(line);
    const field = fieldOf(line);
    if (field) {
      Object.assign(this.#fields, field);
      return 0;
    }
    if (why) return this.#leave(i, why);
    // In a table the name of a section has a cell of its own.
    const cell = /^\s*[|‖]+\s*([^|‖]+?)\s*[|‖]+\s*$/u.exec(line)?.[1];
    const heading = headingOf(cell !== undefined && this.#symbol(cell) === undefined ? cell : line);
    if (heading && !this.#isChordInBrackets(line, heading)) return this.#startSection(heading, i);
    if (line.includes('|') && this.#isBars(line)) return this.#addBars(line, i);
    if (this.#isInline(line)) return this.#addInline(line, i);
    if (this.#isChords(line, i)) return this.#addChords(line, i);
    return this.#addWords(line, i);
  }

  #leave(i: number, why: string): number {
    this.#leftOut.push({ line: this.#numbers[i]!, text: this.#lines[i]!.trim(), why });
    return 0;
  }

  #isChordInBrackets = (line: string, heading: Heading): boolean =>
    heading.rest === '' &&
    /^\s*\[[^\]]+\]\s*$/u.test(line) &&
    this.#symbol(line.trim().slice(1, -1)) !== undefined;

  #symbol = (text: string): string | undefined => symbolOf(text, this.#names);

  #startSection({ name, times, rest, restAt }: Heading, i: number): number {
    this.#sections.push({ name, named: true, times, lines: [] });
    this.#gap = false;
    if (rest.trim() === '') return 0;
    const padded = ' '.repeat(restAt) + rest;
    if (rest.includes('|') && this.#isBars(rest)) return this.#addBars(padded, i);
    if (this.#isInline(rest)) return this.#addInline(rest, i);
    if (this.#isChords(rest, i, true)) return this.#addChords(padded, i);
    return this.#addWords(rest, i);
  }

  /** The section that lines go to: a paragraph without a heading after one with makes no new one. */
  #section(): Open {
    const last = this.#sections.at(-1);
    if (last && (last.named || !this.#gap)) return last;
    const unnamed = this.#sections.filter((section) => !section.named).length;
    const section = { name: `Part ${unnamed + 1}`, named: false, times: 1, lines: [] };
    this.#sections.push(section);
    return section;
  }

  #add(line: SheetLine): void {
    this.#section().lines.push(line);
    this.#gap = false;
  }

  #isBars(line: string): boolean {
    const words = wordsOf(line.replace(/\([x×]?\s*\d+\s*[x×]?\)\s*$/u, ''));
    const chords = words.filter(({ text }) => this.#symbol(text) !== undefined);
    const others = words.filter(
      ({ text }) => this.#symbol(text) === undefined && !BETWEEN.test(text),
    );
    return (
      chords.length + words.filter(({ text }) => text === '%').length > 0 && others.length === 0
    );
  }

  #addBars(line: string, i: number): number {
    const bars = barsOfLine(line, this.#symbol);
    const next = this.#lines[i + 1] ?? '';
    const sung = next.trim() !== '' && this.#isWords(next, i + 1) ? next.trim() : '';
    const words = sung.split(/\s+/u).filter(Boolean);
    const share = (k: number): string =>
      words
        .slice(
          Math.round((k * words.length) / bars.bars.length),
          Math.round(((k + 1) * words.length) / bars.bars.length),
        )
        .join(' ');
    const withWords: DraftBar[] = bars.bars.map((bar, k) => ({ ...bar, words: share(k) }));
    const lead = sung === '' ? 0 : next.length - next.trimStart().length;
    const chords = wordsOf(line).flatMap(({ text, at }): PlacedChord[] => {
      const symbol = this.#symbol(text);
      return symbol ? [{ symbol, typed: text, at: Math.max(0, at - lead) }] : [];
    });
    this.#add({ line: this.#numbers[i]!, words: sung, chords, bars: withWords, times: bars.times });
    return sung === '' ? 0 : 1;
  }

  #isInline(line: string): boolean {
    return bracketed(line).some(({ text }) =>
      text.split(/\s+/u).every((part) => this.#symbol(part) !== undefined || BETWEEN.test(part)),
    );
  }

  #addInline(line: string, i: number): number {
    const chords: PlacedChord[] = [];
    let words = '';
    let last = 0;
    for (const { text, at } of bracketed(line)) {
      const parts = text.split(/\s+/u);
      if (!parts.every((part) => this.#symbol(part) !== undefined || BETWEEN.test(part))) continue;
      words += line.slice(last, at);
      last = line.indexOf(']', at) + 1;
      // "the [Em] lamp": one space of the two parts the words.
      if (/(?:^|\s)$/u.test(words) && /^ [^\s[]/u.test(line.slice(last))) last++;
      for (const part of parts) {
        const symbol = this.#symbol(part);
        if (symbol) chords.push({ symbol, typed: part, at: words.length });
      }
    }
    words += line.slice(last);
    const { text, times } = withoutTimes(words);
    const lead = text.length - text.trimStart().length;
    const moved = chords.map((chord) => ({ ...chord, at: Math.max(0, chord.at - lead) }));
    this.#finish(i, text.trim(), moved, times);
    return 0;
  }

  /** Chords alone on a line; `said` where a heading stood before them. */
  #isChords(line: string, i: number, said = false): boolean {
    const words = wordsOf(line);
    const chords = words.filter(({ text }) => this.#symbol(text) !== undefined);
    if (chords.length === 0) return false;
    const others = words.filter(
      ({ text }) => this.#symbol(text) === undefined && !BETWEEN.test(text) && !isNote(text),
    );
    if (others.length > 0) return this.#isMostlyChords(line, words, chords.length, others);
    return said || !this.#readsAsWords(words, i);
  }

  /** A line of chords with one misspelt among them, set as chords are: wide apart. */
  #isMostlyChords(
    line: string,
    words: readonly Word[],
    chords: number,
    others: readonly Word[],
  ): boolean {
    const wide = /\S\s{3,}\S/u.test(line.trim());
    return (
      wide &&
      chords >= 3 &&
      others.length === 1 &&
      chords >= words.length - 1 &&
      /^[A-H]/u.test(others[0]!.text)
    );
  }

  /** "A", "Am", "a e" may be words: they are where a line of chords stands just above, or nothing below. */
  #readsAsWords(words: readonly Word[], i: number): boolean {
    const texts = words.map(({ text }) => text);
    const doubtful = texts.every((text) =>
      /^(?:A|Am|a|am|Ad|E|Be|be|Fa|e|As|Es|C|G|D|d|c|g|f)$/u.test(text),
    );
    if (!doubtful) return false;
    const above = this.#lines[i - 1] ?? '';
    const under = this.#lines[i + 1] ?? '';
    const small = texts.every((text) => /^[a-z]/u.test(text));
    const chordsAbove =
      above.trim() !== '' && wordsOf(above).every(({ text }) => this.#symbol(text) !== undefined);
    if (small && !this.#names.smallMinor && texts.length === 1) return true;
    return (
      chordsAbove &&
      under.trim() === '' &&
      words.length === 1 &&
      words[0]!.at < 2 &&
      /^(?:A|Am|a|am|As|Be|be)$/u.test(texts[0]!)
    );
  }

  #isWords(line: string, i: number): boolean {
    return (
      whyLeftOut(line) === undefined &&
      fieldOf(line) === undefined &&
      headingOf(line) === undefined &&
      !(line.includes('|') && this.#isBars(line)) &&
      !this.#isInline(line) &&
      !this.#isChords(line, i)
    );
  }

  #addChords(line: string, i: number): number {
    const { text, times } = withoutTimes(line);
    const next = this.#lines[i + 1] ?? '';
    const sung = next.trim() !== '' && this.#isWords(next, i + 1) ? next : '';
    const placed = wordsOf(text).flatMap(({ text: typed, at }): PlacedChord[] => {
      const symbol = this.#symbol(typed);
      return symbol ? [{ symbol, typed, at: columnOf(typed, at, sung) }] : [];
    });
    if (sung === '') {
      this.#finish(i, '', placed, times);
      return 0;
    }
    const lead = sung.length - sung.trimStart().length;
    const over = placed.map((chord) => ({
      ...chord,
      at: Math.max(0, characterUnder(text, chord.at, sung, this.#setting) - lead),
    }));
    const words = withoutTimes(sung);
    this.#finish(i, words.text.trim(), rising(over), Math.max(times, words.times));
    return 1;
  }

  #finish(i: number, words: string, chords: readonly PlacedChord[], times: number): void {
    this.#add({ line: this.#numbers[i]!, words, chords, bars: guessBars(words, chords), times });
  }

  #addWords(line: string, i: number): number {
    if (this.#sections.length === 0) {
      this.#top.push(line.trim());
      return 0;
    }
    const { text, times } = withoutTimes(line);
    this.#add({ line: this.#numbers[i]!, words: text.trim(), chords: [], bars: [], times });
    return 0;
  }

  /** What stands above the song: its title, perhaps with a name after a dash or on the next line. */
  #titleAndBy(): readonly [string | undefined, string | undefined] {
    const { title, by } = this.#fields;
    const top = title ? [title, ...this.#top] : this.#top;
    const [name, second] = top;
    const [, left, right] = /^(.{2,60}?)\s+(?:[-–—]|by)\s+(.{2,60})$/iu.exec(name ?? '') ?? [];
    const under = BY.exec(second ?? '')?.[1];
    return [left ?? name, by ?? right ?? under ?? second];
  }

  /** Every line of chords with its words, for the setting of the sheet. */
  #pairs(): ChordsOverWords[] {
    return this.#lines.flatMap((line, i): ChordsOverWords[] => {
      const words = this.#lines[i + 1] ?? '';
      if (
        words.trim() === '' ||
        line.includes('[') ||
        !this.#isChords(line, i) ||
        !this.#isWords(words, i + 1)
      )
        return [];
      const columns = wordsOf(line)
        .filter(({ text }) => this.#symbol(text) !== undefined)
        .map(({ at }) => at);
      return [{ chords: line, columns, words }];
    });
  }
}

/** "by …" under the title, in some languages. */
const BY = /^(?:by|von|de|words and music by|words & music by|written by)\s*:?\s+(.+)$/iu;

/** The letter of "(C)" stands over its syllable, unless only the parenthesis stands over the start of a word. */
function columnOf(typed: string, at: number, words: string): number {
  const column = at + (/^[[({<*]*/u.exec(typed)?.[0].length ?? 0);
  const starts = (i: number): boolean =>
    /(?:^|\s)$/u.test(words.slice(0, i)) && /\S/u.test(words[i] ?? '');
  return starts(at) && !starts(column) ? at : column;
}

/** A word to the player in a line of chords: "(let ring)", "(hold)". */
const isNote = (text: string): boolean =>
  /^\(?(?:let|ring\)?|hold\)?|stop\)?|riff\)?)$/iu.test(text);

function withoutTimes(line: string): { text: string; times: number } {
  const match = /[\s([]+(?:[x×]\s?(\d{1,2})|(\d{1,2})\s?[x×])[)\]]?\s*$/iu.exec(line);
  return match
    ? { text: line.slice(0, match.index), times: Number(match[1] ?? match[2]) }
    : { text: line, times: 1 };
}

/** Two chords on one character would be one: the later ones move on. */
function rising(chords: readonly PlacedChord[]): PlacedChord[] {
  let last = -1;
  return chords.map((chord) => {
    last = Math.max(chord.at, last + (chord.at <= last ? 1 : 0));
    return { ...chord, at: Math.max(chord.at, last) };
  });
}

/**
 * A chord a bar; one that follows its neighbour within a few letters shares its bar. Words before the
 * first chord are sung in the bar before, or with the first chord where the line opens its section.
 */
export function guessBars(words: string, chords: readonly PlacedChord[]): DraftBar[] {
  if (chords.length === 0) return [];
  const groups: PlacedChord[][] = [];
  const gaps = chords
    .slice(1)
    .map((chord, i) => chord.at - chords[i]!.at)
    .toSorted((a, b) => a - b);
  const usual = gaps[Math.floor(gaps.length / 2)] ?? 0;
  for (const chord of chords) {
    const group = groups.at(-1);
    const near = group && chord.at - group.at(-1)!.at < usual * 0.55;
    if (near && group.length < 2 && words !== '') group.push(chord);
    else groups.push([chord]);
  }
  return groups.map((group, i) => {
    const from = i === 0 ? 0 : group[0]!.at;
    const to = groups[i + 1]?.[0]!.at ?? words.length;
    return {
      chords: group.map(({ symbol }) => symbol),
      words: cut(words, from, to),
      guessed: true,
    };
  });
}

/** Words from one character to another; a word that is cut between two syllables gets a hyphen. */
function cut(words: string, from: number, to: number): string {
  const [start, end] = [syllableAt(words, from), syllableAt(words, to)];
  const text = words.slice(start, end);
  const inside = end < words.length && /\S$/u.test(text) && /\S/u.test(words[end]!);
  return `${text.trim()}${inside && text.trim() !== '' && !text.endsWith('-') ? '-' : ''}`;
}

const SUNG = /[aeiouyäöüàáâãåæèéêëìíîïòóôõøœùúûýÿ]/iu;

/** Where a bar may begin: not where a word would leave a piece that nobody can sing (one without a vowel). */
function syllableAt(words: string, at: number): number {
  if (at <= 0 || at >= words.length || /[\s-]/u.test(words[at - 1]!)) return at;
  const start = at - /\S*$/u.exec(words.slice(0, at))![0].length;
  const [end] = /^\S*/u.exec(words.slice(at))!;
  return SUNG.test(words.slice(start, at)) && SUNG.test(end) ? at : start;
}

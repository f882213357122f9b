// Builds the sheet from lines whose kinds are decided: sections, chords on their characters, bars.
import { type WrittenBar, barsOfLine } from './bars.ts';
import { type ChordsOverWords, type Setting, characterUnder, fitOf, settingOf } from './columns.ts';
import type { Dialect } from './dialect.ts';
import { type FieldValues, factsIn } from './fields.ts';
import { cut, guessBars } from './guess-bars.ts';
import type { Label } from './labels.ts';
import type { DraftBar, LeftOut, PlacedChord, Sheet, SheetLine } from './model.ts';
import type { Line, Reading } from './line.ts';
import { bracketedIn, tokensOf } from './tokens.ts';
import {
  bareTop,
  besides,
  factsBeside,
  partedTitle,
  roughTempo,
  withoutFacts,
  writerIn,
} from './top.ts';

interface Open {
  name: string;
  named: boolean;
  times: number;
  like?: string;
  lines: SheetLine[];
  /** Are its chords all on the line of its name? */
  short?: boolean;
}

export class Assembly {
  readonly #lines: readonly Line[];
  readonly #readings: readonly Reading[];
  readonly #dialect: Dialect;
  readonly #setting: Setting;
  /** Does a space behind each bracket belong to it? */
  readonly #roomy: boolean;
  /** How well its chords stand over its words: logarithms of how much likelier that is than by chance. */
  readonly fit: number;
  #lettersMark = false;
  readonly #sections: Open[] = [];
  readonly #leftOut: LeftOut[] = [];
  readonly #about: { readonly line: Line; readonly learnt: string }[] = [];
  readonly #fields: FieldValues = {};

  constructor(lines: readonly Line[], readings: readonly Reading[], dialect: Dialect) {
    this.#lines = lines;
    this.#readings = readings;
    this.#dialect = dialect;
    this.#lettersMark = this.#letters();
    const pairs = this.#pairs();
    this.#setting = settingOf(pairs);
    this.fit = fitOf(pairs, this.#setting);
    this.#roomy = isRoomy(lines.filter((_, i) => readings[i]?.kind === 'inline'));
  }

  sheet(): Sheet {
    for (let i = 0; i < this.#lines.length; i++) i += this.#take(i);
    const [title, by] = this.#titleAndBy();
    const { key, capo, tempo, counted, meter, feel, tuning, strings, form } = this.#fields;
    return {
      ...(this.#dialect.names.german && { names: 'german' as const }),
      ...(title && { title }),
      ...(by && { by }),
      ...(key && { key }),
      ...(capo !== undefined && { capo }),
      ...(tempo !== undefined && { tempo }),
      ...(counted && { counted }),
      ...(meter && { meter }),
      ...(feel && { feel }),
      ...(tuning && { tuning }),
      ...(strings && { strings }),
      ...(form && { form }),
      sections: this.#named(),
      leftOut: this.#leftOut.toSorted((a, b) => a.line - b.line),
    };
  }

  /** Stanzas without a name are verses, what has no words is a part. */
  #named(): Open[] {
    const taken = new Set(this.#sections.map(({ name }) => name.toLowerCase()));
    const next = (word: string): string => {
      let n = 1;
      while (taken.has(`${word} ${n}`.toLowerCase())) n++;
      taken.add(`${word} ${n}`.toLowerCase());
      return `${word} ${n}`;
    };
    return this.#sections
      .filter(({ lines, named }) => lines.length > 0 || named)
      .map((section) => {
        if (section.named) return section;
        const sung = section.lines.some(({ words }) => words !== '');
        return { ...section, name: next(sung ? 'Verse' : 'Part') };
      });
  }

  /** @returns how many lines after this one were taken with it. */
  #take(i: number): number {
    const line = this.#lines[i]!;
    const reading = this.#readings[i]!;
    switch (reading.kind) {
      case 'field':
        Object.assign(this.#fields, reading.field);
        return 0;
      case 'left':
        this.#leave(
          line,
          `${reading.why ?? 'a note for the player'}${this.#learn(factsIn(line.text).found)}`,
        );
        return 0;
      case 'about':
        this.#addAbout(line);
        return 0;
      case 'foot':
        this.#leave(line, 'a line below the song');
        return 0;
      case 'heading':
        this.#start(reading.label!);
        this.#learn(aboutGuitar(line.text));
        if (this.#isLike(line, reading.rest)) return 0;
        return reading.rest === undefined ? 0 : this.#takeRest(i, reading.rest, reading.label!);
      default:
        return this.#takeMusic(i, reading.kind, line.text, reading.rowAt);
    }
  }

  /** Of the first line, which may be the title, only what stands beside it. */
  #addAbout(line: Line): void {
    const facts =
      this.#about.length === 0
        ? factsBeside(line.text)
        : { tempo: roughTempo(line.text), ...factsIn(line.text).found };
    this.#about.push({ line, learnt: this.#learn(facts) });
  }

  /**
   * Takes what a line that says other things, too, tells of the whole song, where no line of its own does; above the
   * first section only.
   * @returns in words for people what was taken
   */
  #learn(facts: FieldValues): string {
    if (this.#sections.some(({ lines }) => lines.length > 0)) return '';
    const fresh = LEARNT.filter(
      (name) => facts[name] !== undefined && this.#fields[name] === undefined,
    );
    for (const name of fresh) Object.assign(this.#fields, { [name]: facts[name] });
    const told = fresh.filter((name) => name !== 'counted' && name !== 'strings');
    return told.length > 0 ? `, but for its ${told.join(', ')}` : '';
  }

  #leave({ number, text }: Line, why: string): void {
    this.#leftOut.push({ line: number, text: text.trim(), why });
  }

  /** "Solo: same as head": the section has the bars of another one, and the line no words. */
  #isLike({ text, label }: Line, rest: Reading['rest']): boolean {
    if (!label || (rest !== undefined && rest !== 'words')) return false;
    const behind = text.slice(text.indexOf(label.name.slice(-1)) + 1);
    const like = LIKE.exec(behind)?.[1];
    const named = this.#sections.some(({ name }) => name.toLowerCase() === like?.toLowerCase());
    if (named) this.#sections.at(-1)!.like = like!;
    return named;
  }

  #start({ name, times }: Label): void {
    this.#sections.push({ name, named: true, times, lines: [] });
  }

  /** What stands behind a heading keeps its column. */
  #takeRest(i: number, kind: NonNullable<Reading['rest']>, { rest, restAt }: Label): number {
    const taken = this.#takeMusic(i, kind, ' '.repeat(restAt) + rest);
    this.#sections.at(-1)!.short = kind === 'row' || kind === 'bars';
    return taken;
  }

  #takeMusic(
    i: number,
    kind: 'row' | 'words' | 'inline' | 'bars',
    text: string,
    rowAt?: number,
  ): number {
    if (kind === 'row') return this.#addRow(i, text);
    if (kind === 'bars') return this.#addBars(i, text);
    if (kind === 'inline') this.#addInline(i, text);
    else if (rowAt !== undefined) this.#addRowBehind(i, text, rowAt);
    else this.#addWords(i, text);
    return 0;
  }

  /**
   * The section that lines go to. A stanza behind an empty line is a new one where none has a name, where the sheet
   * names only some of them, or where what has a name is played and not sung.
   */
  #section(gap: boolean, sung: boolean): Open {
    const last = this.#sections.at(-1);
    if (last && !(gap && this.#ends(last, sung))) return last;
    const section = { name: '', named: false, times: 1, lines: [] };
    this.#sections.push(section);
    return section;
  }

  #ends(section: Open, sung: boolean): boolean {
    if (!section.named) return true;
    if (section.lines.length === 0) return false;
    if (
      this.#sections.some(({ named, lines }) => !named && lines.some(({ words }) => words !== ''))
    )
      return true;
    const played = section.lines.every(({ words }) => words === '');
    return sung && played && (section.short === true || PLAYED.test(section.name));
  }

  #add(
    i: number,
    words: string,
    chords: readonly PlacedChord[],
    bars: readonly DraftBar[],
    times: number,
  ): void {
    const { number, gap } = this.#lines[i]!;
    this.#section(gap, words !== '').lines.push({ line: number, words, chords, bars, times });
  }

  /** The words under a line of chords: the next line, behind its label if it has one. */
  #under(i: number, from = 0): { readonly text: string; readonly label?: Label } | undefined {
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

  #addRow(i: number, text: string): number {
    const row = withoutTimes(text);
    const under = this.#under(i, /^\s*/u.exec(text)![0].length);
    if (under?.label) this.#start(under.label);
    const placed = this.#chordsIn(row.text);
    if (!under) {
      this.#addGuessed(i, '', placed, row.times);
      return 0;
    }
    const lead = under.text.length - under.text.trimStart().length;
    const over = placed.map((chord) => ({
      ...chord,
      at: Math.max(0, characterUnder(row.text, chord.at, under.text, this.#setting) - lead),
    }));
    const words = withoutTimes(under.text);
    this.#addGuessed(i, words.text.trim(), rising(over), Math.max(row.times, words.times));
    return 1;
  }

  #addRowBehind(i: number, text: string, rowAt: number): void {
    const lead = text.length - text.trimStart().length;
    const row = withoutTimes(' '.repeat(rowAt) + text.slice(rowAt));
    const chords = this.#chordsIn(row.text).map((chord) => ({ ...chord, at: chord.at - lead }));
    this.#addGuessed(i, text.slice(0, rowAt).trim(), chords, row.times);
  }

  #addBars(i: number, text: string): number {
    const { bars, times } = barsOfLine(text, this.#dialect.symbolOf);
    const under = this.#under(i);
    if (under?.label) this.#start(under.label);
    const sung = under?.text.trim() ?? '';
    const lead = under ? under.text.length - under.text.trimStart().length : 0;
    const chords = this.#chordsIn(text).map((chord) => ({
      ...chord,
      at: Math.max(
        0,
        (under ? characterUnder(text, chord.at, under.text, this.#setting) : chord.at) - lead,
      ),
    }));
    this.#add(
      i,
      sung.replaceAll(/\s*\|\s*/gu, ' ').trim(),
      chords,
      this.#sungIn(bars, text, under?.text),
      times,
    );
    return under ? 1 : 0;
  }

  /** The words under each bar: parted by bar lines of their own, or by those that stand over them. */
  #sungIn(bars: readonly WrittenBar[], text: string, words: string | undefined): DraftBar[] {
    const plain = bars.map(({ at, ...bar }) => ({ bar, at }));
    if (words === undefined) return plain.map(({ bar }) => bar);
    const parts = words
      .trim()
      .replace(/^\||\|$/gu, '')
      .split('|');
    if (parts.length === bars.length && parts.length > 1)
      return plain.map(({ bar }, k) => ({ ...bar, words: parts[k]!.trim() }));
    const sung = words.replaceAll('|', ' ');
    const places = plain.map(({ at }, k) =>
      k === 0 ? 0 : Math.min(sung.length, characterUnder(text, at, sung, this.#setting)),
    );
    return plain.map(({ bar }, k) => ({
      ...bar,
      words: cut(sung, places[k]!, places[k + 1] ?? sung.length).trim(),
    }));
  }

  #addInline(i: number, line: string): void {
    const chords: PlacedChord[] = [];
    let words = '';
    let last = 0;
    for (const { chords: symbols, from, to } of bracketedIn(line, this.#dialect.symbolOf)) {
      words += line.slice(last, from);
      last = to;
      // "the [Em] lamp": one space of the two parts the words.
      if ((this.#roomy || /(?:^|\s)$/u.test(words)) && /^ [^\s[]/u.test(line.slice(last))) last++;
      const typed = line.slice(from + 1, to - 1).trim();
      chords.push(...symbols.map((symbol) => ({ symbol, typed, at: words.length })));
    }
    words += line.slice(last);
    const { text, times } = withoutTimes(words);
    const lead = text.length - text.trimStart().length;
    const moved = chords.map((chord) => ({ ...chord, at: Math.max(0, chord.at - lead) }));
    this.#addGuessed(i, text.trim(), moved, times);
  }

  #addWords(i: number, line: string): void {
    const { text, times } = withoutTimes(line);
    this.#add(i, text.trim(), [], [], times);
  }

  #addGuessed(i: number, words: string, chords: readonly PlacedChord[], times: number): void {
    this.#add(i, words, chords, guessBars(words, chords), times);
  }

  #chordsIn(row: string): readonly PlacedChord[] {
    const chords = tokensOf(row, this.#dialect.symbolOf).flatMap((token) => token.chords);
    return this.#lettersMark
      ? chords.map((chord) => ({ ...chord, at: chord.at + signsBefore(chord.typed) }))
      : chords;
  }

  /** Over what do "(C)" and "[C]" stand with their letter, rather than with the sign before it? */
  #letters(): boolean {
    let letter = 0;
    let sign = 0;
    for (const { chords, words } of this.#pairs()) {
      for (const { typed, at } of this.#chordsIn(chords)) {
        const before = signsBefore(typed);
        if (before === 0) continue;
        if (startsWord(words, at + before)) letter++;
        if (startsWord(words, at)) sign++;
      }
    }
    return letter >= sign;
  }

  /** What stands above the song: its title, perhaps with a name after a dash or on the next line. */
  #titleAndBy(): readonly [string | undefined, string | undefined] {
    const { title, by } = this.#fields;
    const above = this.#about.map(({ line }) => bareTop(line.text));
    const top = title ? [title, ...above] : above;
    const [name = '', second = ''] = top;
    const { left, right } = partedTitle(withoutFacts(name) || name);
    const under = writerIn(second);
    const used = (title ? 0 : 1) + (under !== undefined && !by && !right ? 1 : 0);
    for (const { line, learnt } of this.#about.slice(used))
      this.#leave(line, `a line above the song${learnt}`);
    return [left || undefined, by ?? right ?? under];
  }

  /** Every line of chords with its words, for the setting of the sheet. */
  #pairs(): ChordsOverWords[] {
    return this.#lines.flatMap(({ text }, i): ChordsOverWords[] => {
      const under = this.#readings[i]?.kind === 'row' ? this.#under(i) : undefined;
      if (!under) return [];
      const columns = this.#chordsIn(text).map(({ at }) => at);
      return [{ chords: text, columns, words: under.text }];
    });
  }
}

/** "[G] Roll me [C] down", where "a[G] gain" is one word: a space behind every bracket, and most behind a space. */
function isRoomy(lines: readonly Line[]): boolean {
  const text = lines.map((line) => line.text).join('\n');
  const close = text.match(/\][^\n]/gu) ?? [];
  const open = text.match(/[^\n]\[/gu) ?? [];
  const share = (found: readonly string[], sign: RegExp): number =>
    found.filter((pair) => sign.test(pair)).length / Math.max(1, found.length);
  return close.length > 3 && share(close, /\s/u) > 0.95 && share(open, /\s/u) > 0.6;
}

/** Names of what has no words. */
const PLAYED =
  /^(?:intro|vorspiel|einleitung|interlude|zwischenspiel|instrumental|solo|riff|link|lick|turnaround|prelude)/iu;

/** What a line tells of the whole song. */
const LEARNT = ['capo', 'tempo', 'counted', 'meter', 'feel', 'tuning', 'strings', 'key'] as const;

/** "Verse (capo 4)": of what stands beside a section's name only this holds for the song. */
function aboutGuitar(heading: string): FieldValues {
  const { capo, tuning } = factsIn(besides(heading).join('; ')).found;
  return { ...(capo !== undefined && { capo }), ...(tuning !== undefined && { tuning }) };
}

/** "same as head", "= Verse 1", "(like the intro)", "wie Strophe 1". */
const LIKE =
  /(?:=|\b(?:same(?: chords)? as|like|as(?: in)?|wie))\s*(?:the\s+|in\s+|die\s+|der\s+|das\s+)?([^=().,;]+?)[\s.)]*(?:[,;(].*)?$/iu;

const signsBefore = (typed: string): number => /^[[({<*]*/u.exec(typed)?.[0].length ?? 0;

const startsWord = (words: string, i: number): boolean =>
  /(?:^|\s)$/u.test(words.slice(0, i)) && /\S/u.test(words[i] ?? '');

/** A count at the end of a line: "x2", "(2x)", "(2 times)", "twice". */
const TIMES =
  /[\s([]+(?:[x×]\s?(\d{1,2})|(\d{1,2})\s?(?:[x×]|times|mal)|(?<=[([])(?:twice|zweimal))[)\]]?\s*$/iu;

function withoutTimes(line: string): { text: string; times: number } {
  const match = TIMES.exec(line);
  return match
    ? { text: line.slice(0, match.index), times: Number(match[1] ?? match[2] ?? 2) }
    : { text: line, times: 1 };
}

/** Two chords on one character would be one: the later ones move on. */
function rising(chords: readonly PlacedChord[]): PlacedChord[] {
  let last = -1;
  return chords.map((chord) => {
    // Before the words there is room for several.
    last = chord.at === 0 ? 0 : Math.max(chord.at, last + 1);
    return { ...chord, at: last };
  });
}

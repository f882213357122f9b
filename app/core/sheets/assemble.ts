// Builds the sheet from lines whose kinds are decided: sections, chords on their characters, bars.
import { type LineBar, barsOfLine } from './bars.ts';
import type { Dialect } from './dialect.ts';
import { type FieldValues, factsIn } from './fields.ts';
import { cut, guessBars } from './guess-bars.ts';
import { HeadFacts, aboutGuitar } from './head-facts.ts';
import { CHORD_LIST, CHORD_SHAPE } from './ignore.ts';
import type { Label } from './labels.ts';
import type { DraftBar, LeftOut, PlacedChord, Sheet, SheetShape } from './model.ts';
import type { Line, Reading } from './line.ts';
import { OverWords } from './over-words.ts';
import { TO_THE_PLAYER } from './remarks.ts';
import { SectionList } from './section-list.ts';
import { shapesIn } from './shapes.ts';
import { bracketedIn } from './tokens.ts';

export class Assembly {
  readonly #lines: readonly Line[];
  readonly #readings: readonly Reading[];
  readonly #dialect: Dialect;
  /** Does a space behind each bracket belong to it? */
  readonly #roomy: boolean;
  readonly #over: OverWords;
  readonly #facts = new HeadFacts();
  readonly #sections = new SectionList();
  readonly #shapes: SheetShape[] = [];
  readonly #leftOut: LeftOut[] = [];

  constructor(lines: readonly Line[], readings: readonly Reading[], dialect: Dialect) {
    this.#lines = lines;
    this.#readings = readings;
    this.#dialect = dialect;
    this.#over = new OverWords(lines, readings, dialect);
    this.#roomy = isRoomy(lines.filter((_, i) => readings[i]?.kind === 'inline'));
  }

  /** How well its chords stand over its words: logarithms of how much likelier that is than by chance. */
  get fit(): number {
    return this.#over.fit;
  }

  sheet(): Sheet {
    for (let i = 0; i < this.#lines.length; i++) i += this.#take(i);
    const { title, by, others } = this.#facts.top();
    for (const { line, learnt } of others) this.#leave(line, `a line above the song${learnt}`);
    const { key, capo, tempo, counted, meter, feel, tuning, strum, strings, form } =
      this.#facts.fields;
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
      ...(strum && { strum }),
      ...(strings && { strings }),
      ...(form && { form }),
      shapes: this.#shapes,
      sections: this.#sections.named(),
      leftOut: this.#leftOut.toSorted((a, b) => a.line - b.line),
    };
  }

  /** @returns how many lines after this one were taken with it. */
  #take(i: number): number {
    const line = this.#lines[i]!;
    const reading = this.#readings[i]!;
    switch (reading.kind) {
      case 'field':
        this.#setField(i, reading.field!);
        return 0;
      case 'left':
        this.#takeLeft(i, reading.why ?? TO_THE_PLAYER);
        return 0;
      case 'about':
        this.#facts.addAbove(line, this.#learn);
        return 0;
      case 'foot':
        this.#leave(line, 'a line below the song');
        return 0;
      case 'heading':
        this.#sections.start(reading.label!);
        this.#learn(aboutGuitar(line.text));
        if (this.#isLike(line, reading.rest)) return 0;
        return reading.rest === undefined ? 0 : this.#takeRest(i, reading.rest, reading.label!);
      default:
        return this.#takeMusic(i, reading.kind, line.text, reading.rowAt);
    }
  }

  /** A strum below the name of a section is that section's, one that stands apart below the last is the song's. */
  #setField(i: number, { strum, ...field }: Readonly<FieldValues>): void {
    this.#facts.set(field);
    if (strum === undefined) return;
    const { gap } = this.#lines[i]!;
    const isLast = !this.#readings.slice(i + 1).some(({ kind }) => PLAYED.has(kind));
    const own = !(gap && isLast) && this.#sections.setStrum(strum);
    if (!own) this.#facts.learn({ strum });
  }

  /** A note for the player is a remark of the section that it stands in, or right above; shapes are the song's. */
  #takeLeft(i: number, why: string): void {
    const line = this.#lines[i]!;
    if (why === CHORD_SHAPE || why === CHORD_LIST) {
      const shapes = shapesIn(line.text, this.#dialect.symbolOf);
      this.#shapes.push(...shapes);
      if (shapes.length > 0) return;
    }
    const learnt = this.#learn(factsIn(line.text).found);
    const isAbove = line.gap && !line.open && this.#readings[i + 1]?.kind === 'heading';
    const kept =
      why === TO_THE_PLAYER && learnt === '' && this.#sections.remark(line.text, isAbove);
    if (!kept) this.#leave(line, `${why}${learnt}`);
  }

  /** What is told of the whole song holds above the first section only. */
  readonly #learn = (facts: FieldValues): string =>
    this.#sections.hasLines ? '' : this.#facts.learn(facts);

  #leave({ number, text }: Line, why: string): void {
    this.#leftOut.push({ line: number, text: text.trim(), why });
  }

  /** "Solo: same as head": the section has the bars of another one, and the line no words. */
  #isLike({ text, label }: Line, rest: Reading['rest']): boolean {
    if (!label || (rest !== undefined && rest !== 'words')) return false;
    const behind = text.slice(text.indexOf(label.name.slice(-1)) + 1);
    const like = LIKE.exec(behind)?.[1];
    return this.#sections.like(like);
  }

  /** What stands behind a heading keeps its column. */
  #takeRest(i: number, kind: NonNullable<Reading['rest']>, { rest, restAt }: Label): number {
    const taken = this.#takeMusic(i, kind, ' '.repeat(restAt) + rest);
    this.#sections.short = kind === 'row' || kind === 'bars';
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

  #add(
    i: number,
    words: string,
    chords: readonly PlacedChord[],
    bars: readonly DraftBar[],
    times: number,
  ): void {
    const { number, gap } = this.#lines[i]!;
    this.#sections.add({ line: number, words, chords, bars, times }, gap);
  }

  #addRow(i: number, text: string): number {
    const row = withoutTimes(text);
    const under = this.#over.under(i, /^\s*/u.exec(text)![0].length);
    if (under?.label) this.#sections.start(under.label);
    const placed = this.#over.chordsIn(row.text);
    if (!under) {
      this.#addGuessed(i, '', placed, row.times);
      return 0;
    }
    const lead = under.text.length - under.text.trimStart().length;
    const over = placed.map((chord) => ({
      ...chord,
      at: Math.max(0, this.#over.characterUnder(row.text, chord.at, under.text) - lead),
    }));
    const words = withoutTimes(under.text);
    this.#addGuessed(i, words.text.trim(), rising(over), Math.max(row.times, words.times));
    return 1;
  }

  #addRowBehind(i: number, text: string, rowAt: number): void {
    const lead = text.length - text.trimStart().length;
    const row = withoutTimes(' '.repeat(rowAt) + text.slice(rowAt));
    const chords = this.#over
      .chordsIn(row.text)
      .map((chord) => ({ ...chord, at: chord.at - lead }));
    this.#addGuessed(i, text.slice(0, rowAt).trim(), chords, row.times);
  }

  #addBars(i: number, text: string): number {
    const { bars, times } = barsOfLine(text, this.#dialect.symbolOf);
    const under = this.#over.under(i);
    if (under?.label) this.#sections.start(under.label);
    const sung = under?.text.trim() ?? '';
    const lead = under ? under.text.length - under.text.trimStart().length : 0;
    const chords = this.#over.chordsIn(text).map((chord) => ({
      ...chord,
      at: Math.max(
        0,
        (under ? this.#over.characterUnder(text, chord.at, under.text) : chord.at) - lead,
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
  #sungIn(bars: readonly LineBar[], text: string, words: string | undefined): DraftBar[] {
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
      k === 0 ? 0 : Math.min(sung.length, this.#over.characterUnder(text, at, sung)),
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
}

/** Readings of what is played or sung. */
const PLAYED: ReadonlySet<Reading['kind']> = new Set(['heading', 'row', 'words', 'inline', 'bars']);

/** "[G] Roll me [C] down", where "a[G] gain" is one word: a space behind every bracket, and most behind a space. */
function isRoomy(lines: readonly Line[]): boolean {
  const text = lines.map((line) => line.text).join('\n');
  const close = text.match(/\][^\n]/gu) ?? [];
  const open = text.match(/[^\n]\[/gu) ?? [];
  const share = (found: readonly string[], sign: RegExp): number =>
    found.filter((pair) => sign.test(pair)).length / Math.max(1, found.length);
  return close.length > 3 && share(close, /\s/u) > 0.95 && share(open, /\s/u) > 0.6;
}

/** "same as head", "= Verse 1", "(like the intro)", "wie Strophe 1". */
const LIKE =
  /(?:=|\b(?:same(?: chords)? as|like|as(?: in)?|wie))\s*(?:the\s+|in\s+|die\s+|der\s+|das\s+)?([^=().,;]+?)[\s.)]*(?:[,;(].*)?$/iu;

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

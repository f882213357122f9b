// Reads the signs between two bar lines: chords with pins, beats, splits, similes, meters, pickups, strums.
import { Remembered } from '../../base/remembered.ts';
import type { Problem } from '../../base/result.ts';
import type { PaceMark } from '../../model/chart.ts';
import { parseFrets } from '../../fretboard/frets.ts';
import { MAX_SPLIT, MAX_SPLIT_DEPTH } from '../../model/limits.ts';
import { JUMP_WORDS, tradeWord } from './cures/trade-words.ts';

interface SignAt {
  readonly text: string;
  /** Characters of the bar before it. */
  readonly offset: number;
}

/** What stands in one place of a bar. */
export type BeatSign =
  | (SignAt & {
      readonly kind: 'chord';
      readonly symbol: string;
      readonly pin?: string;
      readonly slide?: true;
      readonly remark?: string;
    })
  /** A slash or a dot: the chord goes on. */
  | (SignAt & { readonly kind: 'beat' })
  | (SignAt & { readonly kind: 'split'; readonly parts: readonly BeatSign[] });

export type BarSign =
  | BeatSign
  | (SignAt & { readonly kind: 'simile' })
  | (SignAt & { readonly kind: 'meter' })
  /** The word "pickup"; its length may follow as a meter sign. */
  | (SignAt & { readonly kind: 'pickup' })
  | (SignAt & { readonly kind: 'strum'; readonly pattern: string })
  | (SignAt & { readonly kind: 'pace'; readonly mark: PaceMark })
  /** Holds the beat before it. */
  | (SignAt & { readonly kind: 'fermata'; readonly extra: number })
  | (SignAt & { readonly kind: 'remark'; readonly remark: string });

export interface BarSigns {
  readonly signs: readonly BarSign[];
  readonly problems: readonly (Problem & { readonly offset: number; readonly length: number })[];
}

type Fault = BarSigns['problems'][number];

/** Bars repeat, and at a keystroke all but one stay as they were. */
const known = new Remembered<string, BarSigns>(1_000);

/** Every sign of a bar in order; what cannot be read is left out and named. */
export const readSigns = (bar: string): BarSigns => known.of(bar, () => new Scanner(bar).readAll());

/** A simile, the word of a pickup, or a meter. */
const WORDS = /^(?:(%|𝄎)|(pickup)\b|(\d+\/\d+(?:\([\d+]*\))?))(?=[\s{]|$)/iu;
const BEATS = /^[/.]+(?=[\s(){]|$)/u;
const BEGINS_BEAT = /[/.(]/;
const SPACE = /\s/u;
/** Behind a symbol; a bracket that it did not open ends it, too. */
const AFTER_SYMBOL = /[\s[\]{}"“]/u;

class Scanner {
  private readonly text: string;
  private at = 0;
  private readonly faults: Fault[] = [];

  constructor(text: string) {
    this.text = text;
  }

  readAll(): BarSigns {
    const signs: BarSign[] = [];
    for (this.skipSpace(); this.at < this.text.length; this.skipSpace()) {
      signs.push(...this.readSign());
    }
    return { signs, problems: this.faults };
  }

  private readSign(): BarSign[] {
    const start = this.at;
    // Most signs are beats, and no word begins as they do.
    if (BEGINS_BEAT.test(this.text[start]!)) return this.readBeats(0);
    const rest = this.text.slice(start);
    const words = WORDS.exec(rest);
    if (words) {
      const kind = words[1] ? 'simile' : words[2] ? 'pickup' : 'meter';
      return [{ kind, ...this.take(words[0].length) }];
    }
    const mark = MARKS.exec(rest);
    if (mark) return [this.readMark(mark)];
    const jump = JUMP_WORDS.exec(rest);
    if (jump) return this.notHere(this.take(jump[0].length));
    if (rest[0] === '"' || rest[0] === '“') return this.readRemark();
    if (rest[0] === '{') return this.readStrum(rest);
    return this.readBeats(0);
  }

  private readMark(mark: RegExpExecArray): BarSign {
    const [text, pace, to, back, , extra] = mark;
    const sign = this.take(text.length);
    if (back) return { kind: 'pace', ...sign, mark: { kind: 'a-tempo' } };
    if (!pace) return { kind: 'fermata', ...sign, extra: Number(extra ?? 1) };
    const kind = /^a/iu.test(pace) ? 'faster' : 'slower';
    return { kind: 'pace', ...sign, mark: { kind, ...(to !== undefined && { to: Number(to) }) } };
  }

  private readRemark(): BarSign[] {
    const start = this.at;
    const remark = this.readQuoted();
    const sign = this.signFrom(start);
    if (remark === undefined) return [];
    return [{ kind: 'remark', ...sign, remark }];
  }

  /** What stands in quotation marks, trimmed; undefined and named where they do not close. */
  private readQuoted(): string | undefined {
    const quoted = /^["“]([^"“”]*)["”]/u.exec(this.text.slice(this.at));
    if (quoted) {
      this.at += quoted[0].length;
      return quoted[1]!.trim().replace(/\s+/gu, ' ') || undefined;
    }
    const sign = this.take(this.text.length - this.at);
    this.fault('remark-open', 'has a remark without its closing "', 'Close it with ".', sign);
    return undefined;
  }

  private readStrum(rest: string): BarSign[] {
    const end = rest.indexOf('}');
    const sign = this.take(end < 0 ? rest.length : end + 1);
    if (end >= 0) return [{ kind: 'strum', ...sign, pattern: sign.text.slice(1, -1).trim() }];
    this.fault('strum-open', 'has a strum without its closing brace', 'Close it with }.', sign);
    return [];
  }

  /** `depth` is how many splits are open here. */
  private readBeats(depth: number): BeatSign[] {
    const rest = this.text.slice(this.at);
    const beats = BEATS.exec(rest);
    if (beats) return this.takeBeats(beats[0].length);
    if (rest[0] === '(') return this.readSplit(depth + 1);
    return this.readChord(depth > 0);
  }

  /** "///" is three beats. */
  private takeBeats(count: number): BeatSign[] {
    const beats: BeatSign[] = [];
    while (beats.length < count) beats.push({ kind: 'beat', ...this.take(1) });
    return beats;
  }

  /** A split with a fault still stands for its beat, so that the count of the bar is not blamed as well. */
  private readSplit(depth: number): BeatSign[] {
    const start = this.at;
    if (depth > MAX_SPLIT_DEPTH) return this.tooDeep(start);
    this.at++;
    const parts: BeatSign[] = [];
    for (this.skipSpace(); this.at < this.text.length && this.text[this.at] !== ')';) {
      parts.push(...this.readBeats(depth));
      this.skipSpace();
    }
    const closed = this.text[this.at] === ')';
    if (closed) this.at++;
    const sign = this.signFrom(start);
    const faulty = this.splitFault(sign, parts.length, closed, depth);
    return faulty ? [{ kind: 'beat', ...sign }] : [{ kind: 'split', ...sign, parts }];
  }

  private splitFault(sign: SignAt, parts: number, closed: boolean, depth: number): boolean {
    const before = this.faults.length;
    if (!closed) {
      this.fault('split-open', 'has a split beat without its end', 'Close it with ).', sign);
    } else if (depth > 1) {
      const cure = 'Write one split with more parts, e.g. (G . . D).';
      this.fault('split-nested', 'has a split inside a split', cure, sign);
    } else if (parts === 0) {
      this.fault('split-empty', 'has a split with nothing in it', 'Write e.g. (/ D).', sign);
    } else if (parts > MAX_SPLIT) {
      const what = `has a beat split into ${parts} parts`;
      this.fault('split-parts', what, `Split a beat into ${MAX_SPLIT} parts at most.`, sign);
    }
    return this.faults.length > before;
  }

  /** What follows is left unread: nobody means it, and every level would cost a level of the stack. */
  private tooDeep(start: number): BeatSign[] {
    this.at = this.text.length;
    const what = `has splits inside splits, more than ${MAX_SPLIT_DEPTH} deep`;
    const cure = 'Close each split with ) before the next one starts.';
    this.fault('split-deep', what, cure, this.signFrom(start));
    return [];
  }

  /** A symbol up to a space, a pin or a bracket that it did not open itself. */
  private readChord(inSplit: boolean): BeatSign[] {
    const start = this.at;
    const slide = this.text[start] === '~';
    if (slide) this.at++;
    let depth = 0;
    while (this.at < this.text.length && !AFTER_SYMBOL.test(this.text[this.at]!)) {
      const sign = this.text[this.at]!;
      if (sign === ')' && depth === 0 && inSplit) break;
      depth += sign === '(' ? 1 : sign === ')' ? -1 : 0;
      this.at++;
    }
    const symbol = this.text.slice(slide ? start + 1 : start, this.at);
    const pin = this.readPin();
    const quoted = symbol !== '' && /["“]/u.test(this.text[this.at] ?? '');
    const remark = quoted ? this.readQuoted() : undefined;
    if (this.at === start) this.at++;
    const sign = this.signFrom(start);
    if (isShape(symbol === '' && pin !== undefined ? pin : symbol)) return this.shapeAlone(sign);
    if (!/^[A-Hnt]/iu.test(symbol) || tradeWord(symbol) !== undefined) return this.notASign(sign);
    if (/[A-Za-z\d][/.]{2,}$|[A-Za-z\d][/]$/u.test(symbol)) return this.glued(symbol, sign);
    return [
      {
        kind: 'chord',
        ...sign,
        symbol: silenceAsWritten(symbol),
        ...(pin !== undefined && { pin }),
        ...(slide && { slide }),
        ...(remark !== undefined && { remark }),
      },
    ];
  }

  private readPin(): string | undefined {
    if (this.text[this.at] !== '[') return undefined;
    const end = this.text.indexOf(']', this.at);
    const pin = this.text.slice(this.at + 1, end < 0 ? undefined : end);
    this.at = end < 0 ? this.text.length : end + 1;
    return pin;
  }

  private notASign(sign: SignAt): BeatSign[] {
    const what = `has “${sign.text}”, which is no chord and no beat`;
    this.fault('sign-unreadable', what, 'Use chords, / or . for beats, and % for a simile.', sign);
    return [];
  }

  /** Frets without a name still stand for their beat, unless they were put in brackets behind a chord. */
  private shapeAlone(sign: SignAt): BeatSign[] {
    const frets = sign.text.replace(/^\[|\]$/gu, '');
    const cure = `Write the chord’s name right before its shape, e.g. G[${frets}].`;
    this.fault('shape-alone', `has the shape “${frets}” without the name of its chord`, cure, sign);
    return sign.text.startsWith('[') ? [] : [{ kind: 'beat', ...sign }];
  }

  /** The way through a song is said by its form. */
  private notHere(sign: SignAt): BarSign[] {
    const cure = 'Take it out, and write under “form:” which section comes when.';
    this.fault('jump-word', `says “${sign.text}”; here the form says the way`, cure, sign);
    return [];
  }

  private glued(symbol: string, sign: SignAt): BeatSign[] {
    const chord = symbol.replace(/[/.]+$/u, '');
    const cure = `Put a space between: ${chord} ${symbol.slice(chord.length)}.`;
    this.fault('beats-glued', `has beats stuck to the chord in “${symbol}”`, cure, sign);
    return [];
  }

  private fault(code: string, message: string, cure: string, sign: SignAt): void {
    this.faults.push({ code, message, cure, offset: sign.offset, length: sign.text.length });
  }

  private take(length: number): SignAt {
    const start = this.at;
    this.at += length;
    return this.signFrom(start);
  }

  private signFrom(start: number): SignAt {
    return { text: this.text.slice(start, this.at), offset: start };
  }

  private skipSpace(): void {
    while (this.at < this.text.length && SPACE.test(this.text[this.at]!)) this.at++;
  }
}

const isShape = (text: string): boolean => /^[\dx.\s]+$/iu.test(text) && parseFrets(text).ok;

/** Words about time: "rit. = 80", "accel. to 120", "a tempo", "fermata" and "fermata +2". */
const MARKS =
  /^(?:(rit\.?|rall\.?|accel\.?)(?:\s*(?:=|to\s)\s*(\d{1,3}(?:\.\d{1,2})?))?|(a\s+tempo)|(fermata|𝄐)(?:\s*\+\s*(\d{1,2}))?)(?=[\s{"“]|$)/iu;

/** NC, n.c., N/C and tacet are all typed for silence; two words are read before any chord. */
const silenceAsWritten = (symbol: string): string =>
  /^(?:n[./]?c\.?|tacet)$/i.test(symbol) ? SILENCE : symbol;

const SILENCE = 'N.C.';

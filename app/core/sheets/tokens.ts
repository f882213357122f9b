// The words of a line, and what each may be in a row of chords: chords, a sign between them, a remark, or a word.
import { Remembered } from '../base/remembered.ts';
import type { PlacedChord } from './model.ts';
import { MOST_KNOWN } from './text.ts';

export interface Token {
  readonly text: string;
  readonly at: number;
  readonly role: 'chord' | 'between' | 'remark' | 'word';
  /** Of a chord token: one, or several that hang together by dashes. */
  readonly chords: readonly PlacedChord[];
  /** A remark right behind a chord: "(hold)" of "D(hold)". */
  readonly beside?: string;
}

export type ReadSymbol = (typed: string) => string | undefined;

/** Signs that stand between chords: repeats, dashes, beats, similes, counts. */
const BETWEEN =
  /^(?:[-–—/\\.%*:,;~>→·_'’()‖𝄆𝄇|+]+|\(?[x×]\s?\d{1,2}\)?|\(?\d{1,2}\s?[x×]\)?|\(?(?:repeat|twice|etc\.?|2nd|1st|time:?|x|\d[.:]?)\)?)$/iu;
/** Words to the player that stand in rows of chords. */
const REMARK =
  /^\(?(?:let|ring|hold|stop|stopp|riff|fill|lick|mute|muted|palm|p\.?m\.?|tacet|rit\.?|arp\.?|strum|once|fade|slow|fast|pause|rest|bar|bars|beats?|times?|mal|end|fine)[):.,]*$/iu;
/** Words that join chords which are told rather than set: "G then D". */
const JOIN = /^(?:then|to|dann|zu|or|oder)$/iu;
const PIECES = /\([^()|]*\s[^()|]*\)|[^\s|‖]+/gu;
const HANGING = /\s*(?:[-–—,;>→~…|/]+|\.{2,})\s*/u;
/** "C maj7", "A moll": the kind of chord behind a space. */
const KIND = /^(?:minor|major|moll|dur|maj[79]?|min7?|sus[24]|dim7?|aug)$/iu;
/** "Gx2", "G(4)", "D(hold)". */
const COUNT_BEHIND = /(?:\(?[x×]\d{1,2}\)?|\((?:\d{1,2}|\p{L}{2,})\))$/iu;

/** "(hold)" of "D(hold)". */
const BESIDE = /\(\p{L}{2,}\)$/u;

/** By who reads the symbols: each line is looked at several times. */
const known = new WeakMap<ReadSymbol, Remembered<string, readonly Token[]>>();

/** Everything in the line; bar lines are passed over. */
export function tokensOf(line: string, symbolOf: ReadSymbol): readonly Token[] {
  const lines = known.get(symbolOf) ?? new Remembered(MOST_KNOWN);
  known.set(symbolOf, lines);
  return lines.of(line, () => findTokens(line, symbolOf));
}

function findTokens(line: string, symbolOf: ReadSymbol): readonly Token[] {
  const out: Token[] = [];
  for (const match of line.matchAll(PIECES)) {
    const [text] = match;
    const at = match.index;
    const inside = /^\(.*\s.*\)$/u.test(text) ? tokensOf(text.slice(1, -1), symbolOf) : [];
    if (inside.length > 0 && inside.every(({ role }) => role === 'chord' || role === 'between')) {
      out.push(...inside.map((token) => moved(token, at + 1)));
      continue;
    }
    const before = out.at(-1);
    const joined =
      before?.role === 'chord' && KIND.test(text) && before.at + before.text.length + 1 === at
        ? (symbolOf(before.text + text) ?? symbolOf(before.text + text.toLowerCase()))
        : undefined;
    if (before && joined !== undefined) {
      const typed = `${before.text} ${text}`;
      out[out.length - 1] = {
        ...before,
        text: typed,
        chords: [{ symbol: joined, typed, at: before.at }],
      };
    } else out.push(tokenOf(text, at, symbolOf));
  }
  return out;
}

const moved = (token: Token, by: number): Token => ({
  ...token,
  at: token.at + by,
  chords: token.chords.map((chord) => ({ ...chord, at: chord.at + by })),
});

function tokenOf(text: string, at: number, symbolOf: ReadSymbol): Token {
  const chords = chordsIn(text, at, symbolOf);
  const role =
    chords.length > 0
      ? 'chord'
      : BETWEEN.test(text)
        ? 'between'
        : REMARK.test(text) || JOIN.test(text) || /^\(.*\)$/u.test(text)
          ? 'remark'
          : 'word';
  const beside =
    role === 'chord' && symbolOf(text) === undefined ? BESIDE.exec(text)?.[0] : undefined;
  return { text, at, role, chords, ...(beside && { beside }) };
}

/** "G", "G(x2)", "C-G-Am": undefined parts make it a word. */
function chordsIn(text: string, at: number, symbolOf: ReadSymbol): readonly PlacedChord[] {
  const symbol = symbolOf(text) ?? symbolOf(text.replace(COUNT_BEHIND, ''));
  if (symbol !== undefined) return [{ symbol, typed: text, at }];
  const parts = text.split(HANGING).filter((part) => part !== '');
  if (parts.length < 2) return [];
  let from = 0;
  const chords = parts.map((part): PlacedChord | undefined => {
    const place = text.indexOf(part, from);
    from = place + part.length;
    const read = symbolOf(part);
    return read === undefined ? undefined : { symbol: read, typed: part, at: at + place };
  });
  return chords.every((chord) => chord !== undefined) ? chords : [];
}

/** The chords of a line, each with the words behind it: "(let ring)", "hold"; those before the first stand with it. */
export function chordsAmong(tokens: readonly Token[]): readonly PlacedChord[] {
  const out: PlacedChord[] = [];
  let waiting = '';
  const say = (typed: string): void => {
    const last = out.pop();
    const text = typed.replace(/^\(|\)?[:.,]*$|"/gu, '');
    if (last) out.push({ ...last, remark: `${last.remark ?? ''} ${text}`.trim() });
    else waiting = `${waiting} ${text}`.trim();
  };
  for (const { role, text, chords, beside } of tokens) {
    const [first, ...more] = chords;
    if (first) out.push({ ...first, ...(waiting && { remark: waiting }) }, ...more);
    if (first) waiting = '';
    if (beside !== undefined) say(beside);
    if ((role === 'remark' && !JOIN.test(text)) || (role === 'word' && /\p{L}/u.test(text)))
      say(text);
  }
  return out;
}

/** A chord in brackets inside a line of words. */
export interface Bracketed {
  readonly chords: readonly string[];
  /** Of the opening bracket, and behind the closing one. */
  readonly from: number;
  readonly to: number;
}

/** "[Am]" and "[G D]" in a line; a bracket that holds anything else is none. */
export function bracketedIn(line: string, symbolOf: ReadSymbol): readonly Bracketed[] {
  if (!line.includes('[')) return [];
  return [...line.matchAll(/\[([^[\]]{1,24})\]/gu)].flatMap((match): Bracketed[] => {
    const tokens = tokensOf(match[1]!, symbolOf);
    const chords = tokens.flatMap(({ chords: found }) => found.map(({ symbol }) => symbol));
    const pure = tokens.every(({ role }) => role === 'chord' || role === 'between');
    return pure && tokens.length > 0
      ? [{ chords, from: match.index, to: match.index + match[0].length }]
      : [];
  });
}

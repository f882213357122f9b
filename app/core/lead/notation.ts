// The typed form of a part of a lead line, and its exact inverse.
//
//   8 3/7 p5 4/7 h9 | 4. 3/7b1r 8 - | 8t 2/8~ r 2/8+1/8
//
// A bare number sets the note value from there on (1 2 4 8 16, `.` dotted, `t` triplet). A note is
// string/fret; h p / \ before a fret alone reach it on the same string by hammer-on, pull-off, slide up
// or slide down; x is a muted note; g5h before the fret is a grace note; after the fret b.5 b1 b1.5 bend
// by steps (r: with release), ~ is vibrato and ^ let ring; + joins notes struck together; - holds, r rests.
import type { Rational } from '../base/rational.ts';
import { inShort, ok, type Problem, type Result } from '../base/result.ts';
import type { Bend, Grace, NoteValue, LeadBar, LeadEvent, LeadNote, Reach } from '../model/lead.ts';

const REACH_SIGNS: ReadonlyMap<string, Exclude<Reach, 'picked'>> = new Map([
  ['h', 'hammer-on'],
  ['p', 'pull-off'],
  ['/', 'slide-up'],
  ['\\', 'slide-down'],
]);
const SIGN_OF_REACH = Object.fromEntries(
  [...REACH_SIGNS].map(([sign, reach]) => [reach, sign]),
) as Record<Exclude<Reach, 'picked'>, string>;
const BENDS: ReadonlyMap<string, Bend['semitones']> = new Map([
  ['.5', 1],
  ['1', 2],
  ['1.5', 3],
]);
const SIGN_OF_BEND: Record<Bend['semitones'], string> = { 1: '.5', 2: '1', 3: '1.5' };

const VALUE = /^(16|8|4|2|1)([.t]?)$/;
const NOTE =
  /^(?:([1-9])\/)?(?:([hp/\\])|g(\d{1,2})([hp/\\]))?(\d{1,2}|x)(?:b(\.5|1\.5|1)(r?))?(~?)(\^?)$/;

const DEFAULT_VALUE: NoteValue = { of: 8, shape: 'plain' };

/** The value and string carried from one token to the next; each bar starts where the last one left off. */
interface Carry {
  value: NoteValue;
  string: number | undefined;
}

/**
 * Reads one part, bars separated by `|`. Problems name the part, bar and note and are all reported.
 * Only the writing is checked here; whether bars add up and hands can do it is `check.ts`.
 */
export function parsePart(text: string, part: string): Result<readonly LeadBar[]> {
  const problems: LeadProblem[] = [];
  const carry: Carry = { value: DEFAULT_VALUE, string: undefined };
  const bars = splitBars(text).map((bar, index) => ({
    events: bar
      .split(/\s+/)
      .filter((token) => token !== '')
      .flatMap((token, at) => {
        const event = readToken(token, carry);
        if (event === 'value') return [];
        if (event) return [event];
        const where = { bar: index, token: at };
        problems.push({ ...unreadable(part, index + 1, at + 1, token), where });
        return [];
      }),
  }));
  return problems.length > 0 ? { ok: false, problems: problems.map(inShort) } : ok(bars);
}

/** Where in a part a problem stands: its bar, one of its entries, counted with or without note values. From 0. */
export interface LeadWhere {
  readonly bar: number;
  readonly token?: number;
  readonly event?: number;
  /** What the bar should last, in quarter notes, where it lasts something else. */
  readonly lasts?: Rational;
}

export interface LeadProblem extends Problem {
  readonly where?: LeadWhere;
}

/** A sign of a part and where it begins in the part's text, from 0. */
export interface LeadToken {
  readonly text: string;
  readonly at: number;
  readonly isValue: boolean;
}

/** The signs of each bar of a typed part, with an end for each bar: where its bar line stands. */
export function tokensOf(text: string): readonly { tokens: readonly LeadToken[]; end: number }[] {
  const from = /^\s*\|?/.exec(text)![0].length;
  let at = from;
  return splitBars(text).map((bar) => {
    const start = at;
    at += bar.length + 1;
    const tokens = [...bar.matchAll(/\S+/g)].map(({ 0: sign, index }) => ({
      text: sign,
      at: start + index,
      isValue: VALUE.test(sign),
    }));
    return { tokens, end: start + bar.trimEnd().length };
  });
}

/** Canonical text of a part: `parsePart(printPart(bars))` gives equal bars. */
export function printPart(bars: readonly LeadBar[]): string {
  const carry: Carry = { value: DEFAULT_VALUE, string: undefined };
  const printed = bars.map((bar) => bar.events.flatMap((e) => printEvent(e, carry)).join(' '));
  return `| ${printed.join(' | ')} |`;
}

function splitBars(text: string): string[] {
  return text.trim().replace(/^\|/, '').replace(/\|$/, '').split('|');
}

function readToken(token: string, carry: Carry): LeadEvent | 'value' | undefined {
  const value = VALUE.exec(token);
  if (value) {
    carry.value = readValue(value[1]!, value[2]!);
    return 'value';
  }
  if (token === '-') return { kind: 'hold', value: carry.value };
  if (token === 'r') return { kind: 'rest', value: carry.value };
  const notes: LeadNote[] = [];
  for (const one of token.split('+')) {
    const note = readNote(one, carry);
    if (!note) return undefined;
    notes.push(note);
  }
  return { kind: 'notes', value: carry.value, notes };
}

function readValue(of: string, sign: string): NoteValue {
  const shape = sign === '.' ? 'dotted' : sign === 't' ? 'triplet' : 'plain';
  return { of: Number(of) as NoteValue['of'], shape };
}

function readNote(text: string, carry: Carry): LeadNote | undefined {
  const match = NOTE.exec(text);
  if (!match) return undefined;
  const [, string, reachSign, graceFret, graceSign, fret, bend, release, vibrato, ring] = match;
  // A reach sign alone means the string of the note before; a plain note must name its string.
  if (!string && (!reachSign || carry.string === undefined)) return undefined;
  carry.string = string ? Number(string) : carry.string!;
  const grace: Grace | undefined = graceFret
    ? { fret: Number(graceFret), into: REACH_SIGNS.get(graceSign!)! }
    : undefined;
  return {
    string: carry.string,
    fret: fret === 'x' ? 'muted' : Number(fret),
    reach: reachSign ? REACH_SIGNS.get(reachSign)! : 'picked',
    ...(grace && { grace }),
    ...(bend && { bend: { semitones: BENDS.get(bend)!, release: release === 'r' } }),
    ...(vibrato && { vibrato: true as const }),
    ...(ring && { ring: true as const }),
  };
}

function printEvent(event: LeadEvent, carry: Carry): string[] {
  const tokens: string[] = [];
  if (event.value.of !== carry.value.of || event.value.shape !== carry.value.shape) {
    tokens.push(printValue(event.value));
    carry.value = event.value;
  }
  if (event.kind === 'hold') return [...tokens, '-'];
  if (event.kind === 'rest') return [...tokens, 'r'];
  return [...tokens, event.notes.map((note) => printNote(note, carry)).join('+')];
}

const printValue = ({ of, shape }: NoteValue): string =>
  `${of}${shape === 'dotted' ? '.' : shape === 'triplet' ? 't' : ''}`;

function printNote(note: LeadNote, carry: Carry): string {
  const reach = note.reach === 'picked' ? '' : SIGN_OF_REACH[note.reach];
  const string = reach && carry.string === note.string ? '' : `${note.string}/`;
  carry.string = note.string;
  const grace = note.grace ? `g${note.grace.fret}${SIGN_OF_REACH[note.grace.into]}` : '';
  const fret = note.fret === 'muted' ? 'x' : note.fret;
  const bend = note.bend
    ? `b${SIGN_OF_BEND[note.bend.semitones]}${note.bend.release ? 'r' : ''}`
    : '';
  return `${string}${reach}${grace}${fret}${bend}${note.vibrato ? '~' : ''}${note.ring ? '^' : ''}`;
}

const unreadable = (part: string, bar: number, note: number, token: string): Problem => ({
  code: 'lead-token',
  message: `${part}, bar ${bar}, entry ${note}: “${token}” is not a note, a rest or a note value`,
  cure: 'Write a note as string/fret (3/7), a reached note as h7, p5, /9 or \\5, a rest as r, a value as 8, 4. or 8t.',
});

// Hostile inputs, the same for the same seed: good ones spoilt in every way, and ones made of what readers stumble over.
import { dice } from '../../bench/honest/players.ts';
import { LONG } from '../../support/runs.ts';

/** 0 ≤ roll() < 1. */
export type Roll = () => number;

const TOKENS = [
  '__proto__',
  'constructor',
  'toString',
  'hasOwnProperty',
  '\u0000',
  '\uFEFF',
  '\u202E',
  '\uD800',
  '\u2028',
  '🎸',
  'é',
  'ﬁ',
  '♯♭♯♭',
  '%',
  '%00',
  '%2e%2e/',
  '../',
  '\\',
  '<![CDATA[',
  ']]>',
  '&#x0;',
  '<!ENTITY a "b">',
  '&a;',
  '{"',
  '"}',
  '[[',
  ']]',
  '((',
  '))',
  '|',
  '||:',
  ':||',
  '|:',
  '%%',
  '~',
  'x',
  '/',
  '//',
  '-1',
  '0',
  '1e309',
  'NaN',
  '-0',
  '99999999999999999999',
  '0.0000001',
  'null',
  'true',
  '\n',
  '\r\n',
  '\t',
  ' ',
  '',
  "'; drop table passes; --",
  'G',
  'Em7',
  'F#m7b5/C#',
  '4/4',
  '♩ = 90',
  '[Verse]',
  'form:',
  'line: a, bar 1',
  'part 1:',
  'strum:',
  'id: x',
] as const;

/** How often a sign may stand in a row: what a few short ones show needs no long ones each time. */
const MOST_ALIKE = LONG ? 300 : 75;

export const pick = <T>(roll: Roll, all: readonly T[]): T => all[Math.floor(roll() * all.length)]!;
const upTo = (roll: Roll, most: number): number => Math.floor(roll() * (most + 1));

/** A text out of `seeds`, changed up to eight times; or one of hostile tokens alone. */
export function hostileText(roll: Roll, seeds: readonly string[]): string {
  let text = roll() < 0.15 ? '' : pick(roll, seeds);
  for (let n = 1 + upTo(roll, 7); n > 0; n--) text = changed(roll, text);
  // A few are long, so that what grows faster than its text is found.
  return roll() < 0.002
    ? text.repeat(1 + upTo(roll, 200)).slice(0, 200_000)
    : text.slice(0, 20_000);
}

function changed(roll: Roll, text: string): string {
  const at = upTo(roll, text.length);
  const to = Math.min(text.length, at + upTo(roll, 24));
  const token = pick(roll, TOKENS);
  switch (upTo(roll, 7)) {
    case 0:
      return text.slice(0, at);
    case 1:
      return text.slice(0, at) + text.slice(to);
    case 2:
      return text.slice(0, at) + token + text.slice(at);
    case 3:
      return text.slice(0, at) + token + text.slice(to);
    case 4:
      return text.slice(0, to) + text.slice(at, to).repeat(1 + upTo(roll, 12)) + text.slice(to);
    case 5:
      return text.slice(0, at) + token.repeat(1 + upTo(roll, MOST_ALIKE)) + text.slice(at);
    case 6:
      return text.slice(0, at) + String.fromCodePoint(upTo(roll, 0xd7ff)) + text.slice(to);
    default:
      return text.slice(at, to) + text.slice(0, at) + text.slice(to);
  }
}

const VALUES: readonly unknown[] = [
  null,
  true,
  false,
  0,
  -1,
  0.5,
  1e308,
  -1e308,
  2 ** 53,
  '',
  ' ',
  '\u0000',
  '__proto__',
  'x'.repeat(5000),
  [],
  {},
  [[]],
  [null],
  { __proto__: null },
  { length: 1e9 },
  { constructor: 1 },
  { n: 1, d: 0 },
  '2031-02-30',
  '9999-99-99T99:99Z',
];

/** For good: whoever changes what it is given to read throws. */
export function frozen<T>(value: T): T {
  if (typeof value !== 'object' || value === null || Object.isFrozen(value)) return value;
  Object.values(value).forEach(frozen);
  return Object.freeze(value);
}

/** A value in which up to four places hold something else, are gone, stand twice or are nested deeply. */
export function hostileValue(roll: Roll, seeds: readonly unknown[]): unknown {
  let value = pick(roll, seeds);
  for (let n = 1 + upTo(roll, 3); n > 0; n--) value = spoilt(roll, value, 0);
  return value;
}

function spoilt(roll: Roll, value: unknown, depth: number): unknown {
  const inside = typeof value === 'object' && value !== null ? Object.keys(value) : [];
  if (inside.length === 0 || depth > 12 || roll() < 0.12) return otherValue(roll, value);
  if (Array.isArray(value)) {
    const at = upTo(roll, value.length - 1);
    if (roll() < 0.2) return value.toSpliced(at, 1);
    if (roll() < 0.2) return value.concat(value.slice(at));
    return value.with(at, spoilt(roll, value[at], depth + 1));
  }
  const key = pick(roll, inside);
  const entries = Object.entries(value as object);
  if (roll() < 0.15) return Object.fromEntries(entries.filter(([name]) => name !== key));
  if (roll() < 0.1)
    return Object.fromEntries([...entries, [pick(roll, TOKENS), pick(roll, VALUES)]]);
  return Object.fromEntries(
    entries.map(([name, one]) => [name, name === key ? spoilt(roll, one, depth + 1) : one]),
  );
}

function otherValue(roll: Roll, value: unknown): unknown {
  if (typeof value === 'string' && roll() < 0.5) return hostileText(roll, [value]);
  if (typeof value === 'number' && roll() < 0.5) return value * pick(roll, [-1, 0.001, 1000, 1e12]);
  if (roll() > 0.05) return pick(roll, VALUES);
  let deep: unknown = value;
  for (let n = 1 + upTo(roll, 400); n > 0; n--) deep = roll() < 0.5 ? [deep] : { a: deep };
  return deep;
}

/** Bytes out of `seeds` with bits flipped, cut, doubled and overwritten. */
export function hostileBytes(roll: Roll, seeds: readonly Uint8Array[]): Uint8Array<ArrayBuffer> {
  let bytes = Uint8Array.from(pick(roll, seeds));
  for (let n = 1 + upTo(roll, 5); n > 0; n--) {
    const at = upTo(roll, Math.max(0, bytes.length - 1));
    const kind = upTo(roll, 4);
    if (kind === 0) bytes = bytes.slice(0, at);
    else if (kind === 1 && bytes.length > 0) bytes[at]! ^= 1 << upTo(roll, 7);
    else if (kind === 2) bytes.fill(upTo(roll, 255), at, at + upTo(roll, 16));
    else if (kind === 3) bytes.set([0xff, 0xff, 0xff, 0xff].slice(0, bytes.length - at), at);
    else bytes = joined(bytes.subarray(0, at), bytes.subarray(Math.max(0, at - 40)));
  }
  return bytes;
}

function joined(first: Uint8Array, second: Uint8Array): Uint8Array<ArrayBuffer> {
  const both = new Uint8Array(first.length + second.length);
  both.set(first);
  both.set(second, first.length);
  return both;
}

export const rollOf = (seed: number): Roll => dice(seed);

// Reads what follows the root of a chord symbol, in whatever way the trade writes it, as intervals from the root.
import { toAscii } from './notes.ts';
import { ascending, intervalOf } from './vocabulary.ts';

/** What has been read of a suffix so far. */
interface Draft {
  readonly tones: Set<string>;
  /** "maj", "Δ": the next seventh is a major one. */
  major: boolean;
  readonly diminished: boolean;
  /** The number that names the chord: 6, 7, 9, 11, 13; set once. */
  main?: number;
  /** Numbers after "add" bring no seventh with them. */
  adding: boolean;
  /** A seventh of whatever kind was asked for. */
  seventh: boolean;
  /** "alt" was asked for. */
  altered: boolean;
}

interface Base {
  /** Must match at the very beginning. */
  readonly pattern: RegExp;
  readonly degrees: string;
  readonly major?: true;
  readonly diminished?: true;
  readonly seventh?: true;
}

const MAJOR = String.raw`(?:maj(?:or)?|Maj(?:or)?|MAJ(?:OR)?|mj|ma(?!dd)|Ma(?!dd)|MA(?!DD)|M(?![aAiI](?!dd))|[Δ△∆▵▲^]|[jJ](?=\d))`;

/** How a suffix may begin, first match first; without any of them it is a major chord. */
const BASES: readonly Base[] = [
  { pattern: /^(?:half[-|]?dim(?:inished)?|hdim|[øØ∅⌀]|h(?=7|9|11|$|\|))-?(?:b5|-5)?/i, degrees: '1 b3 b5 b7', seventh: true }, // prettier-ignore
  { pattern: /^(?:dim(?:inished)?|[°º˚○◦]|o(?!mit|n)|0(?=7))(?:triad|-(?=7|9|11))?/i, degrees: '1 b3 b5', diminished: true }, // prettier-ignore
  {
    pattern: /^(?:[Mm][Ii][Nn](?:[Oo][Rr])?|[Mm]i(?![a-z])|MI(?![A-Z]))(?:-(?=6|7|9|11|13))?/,
    degrees: '1 b3 5',
  },
  {
    pattern: new RegExp(`^${MAJOR}(?:triad)?(?:(?<=[a-zA-Z])-(?=6|7|9|11|13))?`),
    degrees: '1 3 5',
    major: true,
  },
  { pattern: /^m(?!aj)/, degrees: '1 b3 5' },
  { pattern: /^-(?!5)/, degrees: '1 b3 5' },
  {
    pattern: /^(?:aug(?:mented)?|\+(?=$|\||7|9|11|13|M|m|sus|add|Δ|\^|[b#]9))/i,
    degrees: '1 3 #5',
  },
  { pattern: /^\+5(?!\d)/, degrees: '1 3 #5' },
  { pattern: /^dom(?:inant)?(?=7|9|11|13)/i, degrees: '1 3 5' },
  { pattern: /^dom(?:inant)?/i, degrees: '1 3 5 b7', seventh: true },
  { pattern: /^5(?:th)?(?![-+b#\d])/, degrees: '1 5' },
  { pattern: /^phryg(?:ian)?$/i, degrees: '1 4 5 b7 b9', seventh: true },
  { pattern: /^lyd(?:ian)?$/i, degrees: '1 3 5 7 #11', seventh: true },
  { pattern: /^/, degrees: '1 3 5' },
];

type Reader = (draft: Draft, match: RegExpExecArray) => boolean;

const NUMBER = String.raw`(13|11|10|9|7|6|5|4|3|2)(?:th|rd|nd)?`;

/** What may follow, each with what it does; it answers false where it makes no sense. */
const SIGNS: readonly (readonly [RegExp, Reader])[] = [
  [/^[|/]*\/\|*(?=2|4|9|11|13)/, addAfterStroke],
  [/^[|/]+(?=[^|/])|^\|+$|^-(?=sus|add|alt|no|omit)/, () => true],
  [new RegExp(`^(?:no|omit|drop|without)\\|*${NUMBER}`, 'i'), (draft, [, n]) => omit(draft, n!)],
  [/^sus(?:p(?:ended)?)?\|*b2(?!\d)/i, ({ tones }) => suspendTo(tones, '2m')],
  [
    /^sus(?:p(?:ended)?)?\|*(2[|/]*4|4[|/]*2|2[|/]*sus\|*4|2|[#+]4|4|13|9|7|)(?!\d)(?:th|nd)?/i,
    suspend,
  ],
  [/^alt(?:ered)?\|*([579](?!\d))?/i, alter],
  [new RegExp(`^add\\|*${MAJOR}\\|*(7)(?!\\d)`), majorSeventh],
  [new RegExp(`^add\\|*([b#+-]?)${NUMBER}`, 'i'), (draft, [, sign, n]) => add(draft, sign!, n!)],
  [new RegExp(`^-(?=${MAJOR})`), ({ tones }) => tones.has('3m')],
  [new RegExp(`^${MAJOR}\\|*(7(?!\\d))?`), majorSeventh],
  [/^(?:\+|#)7/, (draft) => draft.tones.has('3m') && setSeventh(draft, '7M')],
  [/^9\/?6(?!\d)/, nineAndSix],
  [
    new RegExp(`^${NUMBER}([b#+-])(?!\\d|sus|add|alt)`),
    (draft, [, n, sign]) => signAfter(draft, n!, sign!),
  ],
  [new RegExp(`^([b#+-])${NUMBER}`), (draft, [, sign, n]) => signBefore(draft, sign!, n!)],
  [new RegExp(`^♮${NUMBER}`), (draft, [, n]) => natural(draft, n!)],
  [/^dim(5)(?!\d)/i, (draft, [, n]) => draft.seventh && signBefore(draft, 'b', n!)],
  [/^aug(5|9|11)(?!\d)/i, (draft, [, n]) => draft.seventh && signBefore(draft, '#', n!)],
  [new RegExp(`^${NUMBER}`), (draft, [, n]) => plainNumber(draft, Number(n))],
  [/^(?:aug|\+)(?=$|\|)/, raiseFifth],
];

/** Undefined when it cannot be read to its end. */
export function readSuffix(suffix: string): readonly string[] | undefined {
  const text = separated(suffix);
  // In brackets a plus belongs to its number: "C(+9)", but "C+9".
  const signed = /^\s*[([]\s*\+(?:9|11)/.test(suffix);
  const base = signed ? BASES.at(-1)! : BASES.find(({ pattern }) => pattern.test(text))!;
  const draft: Draft = {
    tones: new Set(base.degrees.split(' ').map(intervalOf)),
    major: base.major ?? false,
    diminished: base.diminished ?? false,
    seventh: base.seventh ?? false,
    adding: base.degrees === '1 5' && /^5\D*(?:9|11)/.test(text),
    altered: false,
  };
  const begun = base.pattern.exec(text)![0];
  // A triangle alone is the major seventh; "maj" alone is the plain chord.
  if (/^[Δ△∆▵▲^]/.test(begun) && !/^[|/]*\d/.test(text.slice(begun.length))) draft.tones.add('7M');
  return readSigns(draft, text.slice(begun.length)) ? finished(draft) : undefined;
}

/** Brackets, commas and spaces only part the signs. */
const separated = (suffix: string): string =>
  toAscii(suffix)
    .replace(/[()[\],\s]+/g, '|')
    .replace(/^\|+/, '');

function readSigns(draft: Draft, text: string): boolean {
  let left = text;
  while (left !== '') {
    const found = SIGNS.map(([pattern, read]) => [pattern.exec(left), read] as const).find(
      ([match]) => match,
    );
    if (!found || !found[1](draft, found[0]!)) return false;
    left = left.slice(found[0]![0].length);
  }
  return true;
}

function raiseFifth({ tones }: Draft): boolean {
  without(tones, 5);
  tones.add('5A');
  return true;
}

/** A flat thirteenth stands for the fifth where nothing else was altered (as the library `tonal` has it). */
function finished(draft: Draft): readonly string[] {
  const { tones } = draft;
  const altered = ['9m', '9A', '11A'].some((interval) => tones.has(interval));
  // "maj#11" means the chord with its major seventh.
  if (draft.major && draft.main === undefined && altered && !draft.adding) setSeventh(draft, '7M');
  const { seventh } = draft;
  // The thirteenth of "13alt" leaves no room for a raised fifth beside it.
  if (draft.altered && tones.has('13M') && tones.delete('5A')) tones.add('5d');
  if (seventh && tones.has('13m') && tones.has('3M') && !altered) tones.delete('5P');
  return ascending(tones);
}

const has = (tones: ReadonlySet<string>, degree: number): boolean =>
  [...tones].some((interval) => Number.parseInt(interval, 10) === degree);

function without(tones: Set<string>, ...degrees: number[]): void {
  for (const interval of [...tones]) {
    if (degrees.includes(Number.parseInt(interval, 10))) tones.delete(interval);
  }
}

/** "C/9" adds a ninth; "C6/9" and "C7/13" go on with the chord's own number. */
function addAfterStroke(draft: Draft): boolean {
  if (draft.main === undefined) draft.adding = true;
  return true;
}

/** What the stack of thirds has but the chord leaves out anyway may be said to be left out: "11no3". */
function omit({ tones, main }: Draft, number: string): boolean {
  const degree = Number(number);
  const leftOut = (main === 11 && degree === 3) || (main === 13 && degree === 11);
  if (degree === 1 || !(has(tones, degree) || leftOut)) return false;
  without(tones, degree);
  return true;
}

function suspendTo(tones: Set<string>, interval: string): boolean {
  without(tones, 3);
  tones.add(interval);
  return true;
}

/** The third gives way; "sus7", "sus9" and "sus13" are the fourth under that number. */
function suspend(draft: Draft, [, which = '']: RegExpExecArray): boolean {
  const number = which.replace(/[^\d]/g, '');
  without(draft.tones, 3);
  if (/^[#+]/.test(which)) {
    draft.tones.add('11A');
    return true;
  }
  if (number.includes('2')) draft.tones.add('2M');
  if (!number.startsWith('2') || number.length > 1) draft.tones.add('4P');
  if (number === '7' || number === '9' || number === '13')
    return plainNumber(draft, Number(number));
  return true;
}

/**
 * Fifth and ninth raised, as most players take it; of a dominant chord alone: "C7alt", "Calt". "C7(alt9)" means one
 * of the two.
 */
function alter(draft: Draft, [, which]: RegExpExecArray): boolean {
  const { main = 7, major, tones } = draft;
  if (!tones.has('3M') || !tones.has('5P') || major || main === 6) return false;
  draft.altered = true;
  if (which !== '9') raiseFifth(draft);
  if (which !== '5') {
    without(tones, 9);
    tones.add('9A');
  }
  return setSeventh(draft, '7m');
}

function setSeventh(draft: Draft, interval: string): boolean {
  // "dim7(maj7)" has both: the diminished one is its sixth.
  if (draft.diminished && draft.tones.has('7d')) {
    draft.tones.delete('7d');
    draft.tones.add('6M');
  } else {
    without(draft.tones, 7);
  }
  draft.tones.add(interval);
  draft.seventh = true;
  draft.main ??= 7;
  return true;
}

/** "m(maj7)", "dimM7", "7M", "7maj": with or without the number after it. */
function majorSeventh(draft: Draft, [, seven]: RegExpExecArray): boolean {
  if (draft.major || draft.tones.has('7M')) return false;
  const { main } = draft;
  draft.major = true;
  setSeventh(draft, '7M');
  // A number other than 7 that follows is then the chord's own: "m(maj9)".
  if (main === undefined && seven === undefined) delete draft.main;
  return true;
}

function add(draft: Draft, sign: string, number: string): boolean {
  draft.adding = true;
  const degree = Number(number);
  if (sign !== '') return signBefore(draft, sign, number);
  if (has(draft.tones, degree)) return false;
  if (degree === 2) draft.tones.add('9M');
  else if (degree === 4) draft.tones.add('11P');
  else if (degree === 6) draft.tones.add(draft.seventh ? '13M' : '6M');
  else if (degree === 13) draft.tones.add(draft.seventh ? '13M' : '6M');
  else if (degree === 9 || degree === 11) draft.tones.add(intervalOf(number));
  else return false;
  return true;
}

const SIGN_OF = new Map([
  ['b', 'b'],
  ['-', 'b'],
  ['#', '#'],
  ['+', '#'],
]);
const ALTERED = new Set('b2 #2 b3 #4 b5 #5 b6 b7 b9 #9 b10 #11 b13'.split(' '));
const SAME_AS = new Map([
  ['#2', '#9'],
  ['#4', '#11'],
  ['b10', '#9'],
  ['b2', 'b9'],
]);

function signBefore(draft: Draft, sign: string, number: string): boolean {
  // "6-9" and "6+9" are six and nine: no sixth chord has its ninth altered.
  if (draft.main === 6 && number === '9' && /[-+]/.test(sign)) return numberAbove(draft, 9);
  const typed = `${SIGN_OF.get(sign)!}${number}`;
  if (!ALTERED.has(typed)) return false;
  const degree = SAME_AS.get(typed) ?? typed;
  if (degree === 'b7') return !draft.seventh && setSeventh(draft, '7m');
  const natural = intervalOf(degree.slice(1));
  draft.tones.delete(natural);
  draft.tones.add(intervalOf(degree));
  // Over a suspended fourth a flat ninth brings the seventh: "susb9".
  const phrygian = degree === 'b9' && draft.tones.has('4P') && !draft.seventh && !draft.adding;
  return phrygian ? setSeventh(draft, '7m') : true;
}

/** "m(♮7)", "7(♭5,♮9)": the degree as it is in the major scale. */
function natural(draft: Draft, number: string): boolean {
  if (number === '7') return setSeventh(draft, '7M');
  if (number === '6' || draft.main === undefined) return plainNumber(draft, Number(number));
  if (!['5', '9', '11', '13'].includes(number)) return false;
  without(draft.tones, Number(number));
  draft.tones.add(intervalOf(number));
  return true;
}

/** "9/6" and "96" are the chord of six and nine, the numbers the other way round. */
function nineAndSix(draft: Draft): boolean {
  return (
    plainNumber(draft, draft.main === undefined ? 6 : 9) &&
    numberAbove(draft, draft.main === 6 ? 9 : 6)
  );
}

/** "7(9-)", "5+": the sign of the number before it. After the chord's own number it is the fifth's: "7+", "9+". */
function signAfter(draft: Draft, number: string, sign: string): boolean {
  if (draft.main !== undefined || number === '5') return signBefore(draft, sign, number);
  if (SIGN_OF.get(sign) !== '#') return false;
  if (!plainNumber(draft, Number(number))) return false;
  return raiseFifth(draft);
}

function plainNumber(draft: Draft, number: number): boolean {
  if (draft.adding) return add(draft, '', String(number));
  if (draft.main !== undefined) return numberAbove(draft, number);
  return mainNumber(draft, number);
}

/** After the number that names the chord: "6/9", "7(13)", "7/6"; "7/4" is the suspended fourth. */
function numberAbove({ tones, main, seventh }: Draft, number: number): boolean {
  if (number === 6) tones.add('13M');
  else if (number === 7 && main === 6) {
    tones.delete('6M');
    tones.add('13M').add('7m');
  } else if (number === 9 || number === 11 || number === 13)
    tones.add(`${number}${number === 11 ? 'P' : 'M'}`); // prettier-ignore
  else if (number === 4 && seventh && tones.has('3M')) return suspendTo(tones, '4P');
  else if (number === 4 && seventh) tones.add('11P');
  else return false;
  return true;
}

function mainNumber(draft: Draft, number: number): boolean {
  const { tones } = draft;
  if (number === 2) tones.add('9M');
  else if (number === 4) return fourth(draft);
  else if (number === 6) {
    draft.main = 6;
    tones.add('6M');
  } else if (number === 7 || number === 9 || number === 11 || number === 13) {
    extend(draft, number);
  } else return false;
  return true;
}

/** "C4" is the suspended fourth; on a minor chord the fourth is added. */
function fourth({ tones }: Draft): boolean {
  if (tones.has('3m')) tones.add('11P');
  else suspendTo(tones, '4P');
  return true;
}

/** The stack of thirds up to a number; as the library `tonal` has it, an 11th loses its third, a 13th its 11th. */
function extend(draft: Draft, number: number): void {
  const { tones, major, diminished } = draft;
  setSeventh(draft, major ? '7M' : diminished && tones.has('5d') ? '7d' : '7m');
  draft.main = number;
  if (number >= 9) tones.add('9M');
  if (number === 11) {
    tones.add('11P');
    if (!major && tones.has('3M')) tones.delete('3M');
  }
  if (number === 13) tones.add('13M');
}

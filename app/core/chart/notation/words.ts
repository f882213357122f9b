// The words of one bar as typed: syllables parted by hyphens, some of them put on a beat with @.
import { type Rational, add, compare, div, mul, rational, sub } from '../../base/rational.ts';
import type { BarWords, Meter, Syllable } from '../../model/chart.ts';
import { type Slot, slotsOf } from '../../rhythm/slots.ts';
import { WORD_PLACE } from '../rules/syllable.ts';

const PARTS: readonly (readonly [sign: string, part: Rational])[] = [
  ['e', rational(1, 4)],
  ['&', rational(1, 2)],
  ['a', rational(3, 4)],
];

export interface ReadWords {
  readonly words: BarWords;
  /** The first "@…" that names no beat of the bar. */
  readonly stray?: string;
}

/** What stands between two bar lines of a line of words. */
export function readBarWords(text: string, meter: Meter, pickup?: Rational): ReadWords {
  const slots = slotsOf(meter, pickup);
  const words: Syllable[] = [];
  let at: Rational | undefined;
  let stray: string | undefined;
  for (const token of text.split(/\s+/u)) {
    if (token === '') continue;
    const place = WORD_PLACE.exec(token);
    if (place) {
      at = placeOf(place, slots);
      if (!at) stray ??= token;
      continue;
    }
    if (token.startsWith('-') && !token.startsWith('--')) joinLast(words);
    for (const syllable of syllablesOf(token)) {
      words.push({ ...syllable, ...(at && { at }) });
      at = undefined;
    }
  }
  return { words, ...(stray !== undefined && { stray }) };
}

function joinLast(words: Syllable[]): void {
  const last = words.pop();
  if (last) words.push({ ...last, joined: true });
}

/** "har-bour" is two syllables of a word, "fall-" goes on in the next one; "--" is a hyphen to be seen. */
function syllablesOf(token: string): Syllable[] {
  const parts = token.replaceAll('--', HYPHEN).split('-');
  return parts.flatMap((part, i): Syllable[] => {
    if (part === '') return [];
    const goesOn = i < parts.length - 1;
    const text = part.replaceAll(HYPHEN, '-');
    return [goesOn ? { text, joined: true } : { text }];
  });
}

/** Stands in for a typed "--"; no keyboard has it. */
const HYPHEN = '\u0001';

function placeOf(place: RegExpExecArray, slots: readonly Slot[]): Rational | undefined {
  const [, beat, sign, n, d] = place;
  const slot = slots[Number(beat) - 1];
  if (!slot || d === '0' || Number(d) === 0) return undefined;
  const part = sign
    ? PARTS.find(([name]) => name === sign)![1]
    : n === undefined
      ? rational(0)
      : rational(Number(n), Number(d));
  return part.n < part.d ? add(slot.at, mul(slot.length, part)) : undefined;
}

/** {@link readBarWords} reads it back to the same syllables. */
export function printBarWords(words: BarWords, meter: Meter, pickup?: Rational): string {
  const slots = slotsOf(meter, pickup);
  let text = '';
  words.forEach(({ text: syllable, joined, at }, i) => {
    const runsOn = i > 0 && words[i - 1]!.joined && !at;
    text += `${i === 0 || runsOn ? '' : ' '}${at ? `${printPlace(at, slots)} ` : ''}`;
    text += `${syllable.replaceAll('-', '--')}${joined ? '-' : ''}`;
  });
  return text;
}

function printPlace(at: Rational, slots: readonly Slot[]): string {
  const index = Math.max(
    0,
    slots.findLastIndex((slot) => compare(slot.at, at) <= 0),
  );
  const part = div(sub(at, slots[index]!.at), slots[index]!.length);
  if (part.n === 0) return `@${index + 1}`;
  const sign = PARTS.find(([, p]) => compare(p, part) === 0)?.[0];
  return `@${index + 1}${sign ?? `+${part.n}/${part.d}`}`;
}

/** As a reader sees it: syllables of a word together, with a hyphen where it goes on in the next bar. */
export const wordsAsText = (words: BarWords): string =>
  words
    .map(({ text, joined }, i) =>
      joined ? `${text}${i === words.length - 1 ? '-' : ''}` : `${text} `,
    )
    .join('')
    .trimEnd();

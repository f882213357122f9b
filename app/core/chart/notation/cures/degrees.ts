// The numbers of the key, "1 4 5", "6-", "ii7", as the chords that they stand for.
import { readKey } from '../../../harmony/key.ts';
import type { Key } from '../../../harmony/key.ts';
import { readChord } from '../../../harmony/read.ts';
import { transposeSymbol } from '../../../harmony/transpose.ts';
import { type Replacement, type MistakePlace, fieldOf } from './cure.ts';

const DEGREES = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII'];
const STEPS = { major: [0, 2, 4, 5, 7, 9, 11], minor: [0, 2, 3, 5, 7, 8, 10] } as const;

/** Characters of a line that is cured as a whole: each of its signs asks for it anew. */
const LONGEST = 240;

/** A number of the key with what belongs to it: b7, 6-, 5sus4, 57, ii7, V/… is none. */
const NUMBER = /^([#b♯♭])?([1-7]|[IViv]{1,3})(m|-|°|dim)?((?:maj7|7|sus[24]?|6|9|add9|\+)?)$/u;

/** "5/7" in a bar is the fifth over the seventh. */
export function degreeOverBass({ typed, lines }: MistakePlace): string | undefined {
  const home = readKey(fieldOf(lines, 'key') ?? '');
  const [over, bass] = typed.split('/');
  if (!home.ok || over === undefined || bass === undefined) return undefined;
  const [chord, note] = [chordOn(over, home.value), chordOn(bass, home.value)];
  const root = /^[A-G][#b]?/u.exec(note ?? '')?.[0];
  return chord === undefined || root === undefined ? undefined : `${chord}/${root}`;
}

/** All numbers of the line at once: whoever writes one writes them all. Undefined without a key to count from. */
export function degrees({
  typed,
  span,
  line,
  lines,
}: MistakePlace): readonly Replacement[] | undefined {
  const home = readKey(fieldOf(lines, 'key') ?? '');
  if (!home.ok || chordOn(typed, home.value) === undefined) return undefined;
  if (line.length > LONGEST) return [{ text: chordOn(typed, home.value)!, span }];
  return [...line.matchAll(/(?<=[\s|(])[^\s|()]+(?=[\s|)]|$)/gu)].flatMap(({ 0: one, index }) => {
    const text = chordOn(one, home.value);
    return text === undefined
      ? []
      : [{ text, span: { line: span.line, column: index + 1, length: one.length } }];
  });
}

function chordOn(typed: string, home: Key): string | undefined {
  const [, accidental, number, minor, more = ''] = NUMBER.exec(typed) ?? [];
  if (number === undefined) return undefined;
  const isDigit = /\d/u.test(number);
  const index = isDigit ? Number(number) - 1 : DEGREES.indexOf(number.toUpperCase());
  if (index < 0) return undefined;
  const mode = home.mode === 'minor' ? 'minor' : 'major';
  const small = /^(?:m|-)$/u.test(minor ?? '') || /^[iv]+$/u.test(number);
  const usual = (mode === 'major' ? [1, 2, 5] : [0, 3, 4]).includes(index);
  const isMinor =
    small || (isDigit && usual && accidental === undefined && !more.startsWith('maj'));
  const quality = /°|dim/u.test(minor ?? '') ? 'dim' : isMinor ? 'm' : '';
  const by =
    STEPS[mode][index]! + (accidental === undefined ? 0 : /[#♯]/u.test(accidental) ? 1 : -1);
  const moved = transposeSymbol(`${home.tonic}${quality}${more}`, (by + 12) % 12, home);
  return moved.ok && readChord(moved.value).ok ? moved.value : undefined;
}

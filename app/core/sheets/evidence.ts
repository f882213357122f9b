// How unlikely it is, by its own signs, that a line is a row of chords, is sung, or is drawn in bars.
import type { Token } from './tokens.ts';

/** Never: a reading that the line rules out. */
export const NEVER = 1_000;
/** Chord names that are words as well, in one of the languages sheets come in. */
const EVERYDAY = /^(?:A|Am|As|Es|Ab|Des|Dim|Add|am|as|es|des|ab|fes|dis|a|e)$/u;

/** How surprising a chord's name would be as a word that is sung. */
function surprise({ text }: Token): number {
  const bare = text.replace(/^[('"“]+|[)'"”.,;:!?]+$/gu, '');
  if (EVERYDAY.test(bare)) return 0.5;
  if (/^[A-Ha-h]$/u.test(bare)) return /[,!?]$/u.test(text) ? 1.5 : 2.5;
  if (/^[A-Ha-h]m$/u.test(bare)) return 3;
  return /[\d#♯♭/+°øΔ]/u.test(bare) ? 5 : 4;
}

const WIDE = /\S {3,}(?=\S)/gu;

/** @returns Infinity-like where the line has no chord. */
export function rowCost(tokens: readonly Token[], text: string): number {
  const chords = tokens.filter(({ role }) => role === 'chord');
  if (chords.length === 0) return NEVER;
  const lastChord = tokens.findLastIndex(({ role }) => role === 'chord');
  const wide = text.match(WIDE)?.length ?? 0;
  let cost = 0;
  tokens.forEach(({ role, text: word }, i) => {
    if (role === 'word') {
      if (i > lastChord) cost += i === lastChord + 1 ? (chords.length > 1 ? 2.5 : 4) : 0.7;
      else if (/^[A-H][^aeiou]{0,7}$/u.test(word) || /^[A-H]\S*[\d#♯♭]/u.test(word)) cost += 3;
      else cost += /\p{L}/u.test(word) ? 6.5 : 2.5;
    }
    if (role === 'remark') cost += /\)$/u.test(word) ? 0.3 : i > lastChord ? 0.5 : 1.5;
    if (role === 'chord' && EVERYDAY.test(word)) cost += 0.4;
  });
  if (chords.length === 1 && tokens.length === 1 && EVERYDAY.test(chords[0]!.text)) cost += 0.6;
  return Math.max(0, cost - Math.min(2, wide * 0.7));
}

/** How unlikely it is that this is sung. */
export function wordsCost(tokens: readonly Token[], text: string): number {
  const chords = tokens.filter(({ role }) => role === 'chord');
  const others = tokens.filter(({ role }) => role === 'word' || role === 'remark');
  const wide = text.trim().match(WIDE)?.length ?? 0;
  const spelt = others.some(({ text: word }) => /^\p{Ll}{2,}/u.test(word)) && wide === 0;
  const [letters, names] = [true, false].map((single) =>
    chords
      .filter(({ text: word }) => /^[A-Ha-h][,.;!?]?$/u.test(word) === single)
      .reduce((sum, token) => sum + surprise(token), 0),
  ) as [number, number];
  // "A B C and D E F": letters between words say less the more of them there are.
  const said = names + (spelt ? Math.min(4, letters) : letters);
  const bare = others.length === 0 ? (chords.length > 0 ? 1.5 : 2.5) : 0;
  return said + bare + (chords.length > 0 ? Math.min(3, wide) : 0);
}

/** "| C | G Am |": all between the lines is chords, beats and similes. */
export function barsCost(text: string, tokens: readonly Token[]): number {
  if (!/[|‖]/u.test(text)) return NEVER;
  const words = tokens.filter(({ role }) => role === 'word').length;
  const chords = tokens.filter(({ role, text: t }) => role === 'chord' || t === '%').length;
  return chords > 0 ? words * 2.5 : NEVER;
}

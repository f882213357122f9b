// Reads gradual changes of tempo in the words of scores; held beats in words, there and back.
import { type Rational, rational, toNumber } from '../../base/rational.ts';
import type { Fermata, PaceMark } from '../../model/chart.ts';

/** Not printed: says that a tempo belongs to the gradual change or held beat around it, and is none of its own. */
export const PACE_SOUND = 'tempo on the way';

const SLOWER = 'rit|ritard|ritardando|ritenuto|rall|rallentando|slowing(?: down)?';
const FASTER = 'accel|accelerando|stringendo';
const GRADUAL = new RegExp(
  `^(?:poco )?(?:(${SLOWER})|${FASTER})\\.?(?:\\s*(?:=|to)\\s*(\\d{2,3}(?:\\.\\d{1,2})?))?$`,
  'iu',
);

/** Our words and those of the trade (common practice, no source). */
export function paceOfWords(words: string): PaceMark | undefined {
  const text = words.trim();
  if (/^(?:a tempo|tempo primo|tempo i)\.?$/iu.test(text)) return { kind: 'a-tempo' };
  const found = GRADUAL.exec(text);
  if (!found) return undefined;
  const to = found[2] === undefined ? undefined : Number(found[2]);
  const fits = to !== undefined && to >= 20 && to <= 400;
  return { kind: found[1] ? 'slower' : 'faster', ...(fits && { to }) };
}

/** A score's fermata does not say how long, nor, over a long note, which beat. */
export const fermataWords = ({ at, extra }: Fermata): string =>
  `fermata at ${at.n}/${at.d} +${extra}`;

/** Reads what {@link fermataWords} wrote; undefined for all else. */
export function fermataOfWords(words: string): Fermata | undefined {
  const [, n, d, extra] = /^fermata at (\d{1,5})\/(\d{1,5}) \+(\d{1,2})$/u.exec(words) ?? [];
  if (n === undefined || Number(d) === 0) return undefined;
  return { at: rational(Number(n), Number(d)), extra: Number(extra) };
}

/** The note that is sounding at a moment: the last that begins at it or before. */
export const soundingAt = <N extends { readonly at: Rational }>(
  notes: readonly N[],
  at: Rational,
): N | undefined => notes.findLast((note) => toNumber(note.at) <= toNumber(at) + 1e-9);

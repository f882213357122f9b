// The strum that a sheet tells in letters, arrows or words, laid on the eighths of a bar.
import { cellsInBar, handsWay, strumFits } from '../rhythm/fit-strum.ts';
import { parseStrum } from '../rhythm/strum.ts';
import type { Meter, StrumPattern } from '../model/chart.ts';

const STROKE = String.raw`(?:(?:down|up|ab|auf)(?!\p{L})|[DU↓↑])`;
const GAP = String.raw`[\s,–—_.&/-]*`;

/**
 * "Strum: D DU UDU", "Strumming pattern ↓ ↓↑ ↑↓↑", "Schlagmuster: ab ab auf". The first group is the sign
 * behind the word, the second holds the strokes.
 */
export const STRUM = new RegExp(
  String.raw`\b(?:strum(?:s|ming)?(?:[- ]?pattern)?|pattern|schlagmuster|anschlag)\s*([:=–—-])?\s*(?:(?:eighths|8ths|achtel)\s*:?\s*)?(${STROKE}(?:${GAP}${STROKE})+[–—_-]*)(?=\s*(?:$|[,;|•·()]))`,
  'iu',
);

/** Without a sign behind the word only capital letters and arrows are strokes: "strum up and down" says nothing. */
export const isTold = (sign: string | undefined, strokes: string): boolean =>
  sign !== undefined || /^[DU↓↑\s,–—_.&/-]+$/u.test(strokes);

/**
 * Strokes as {@link STRUM} finds them, over a bar, half a bar or two bars of eighths. Strokes and dashes that
 * fill bars as they stand are taken so; else each stroke falls on the next moment of a hand that goes on down and
 * up (common practice, no source). Undefined where they fit none.
 */
export function strumOver(strokes: string, meter: Meter): StrumPattern | undefined {
  const cells = cellsIn(strokes);
  const bar = cellsInBar(meter, 2);
  if (!Number.isInteger(bar)) return undefined;
  for (const wanted of [bar, 2 * bar]) if (cells.length === wanted) return inEighths(cells);
  const plain = inEighths(cells.replaceAll('-', ''));
  for (const wanted of [bar / 2, bar, 2 * bar]) {
    const laid = Number.isInteger(wanted) && plain && handsWay(plain, wanted);
    if (laid && strumFits(laid, meter)) return laid;
  }
  return undefined;
}

/** A sign for each stroke, as {@link parseStrum} reads it, and a dash for each gap that is drawn. */
const cellsIn = (strokes: string): string =>
  strokes
    .toLowerCase()
    .replace(/down|ab/gu, 'd')
    .replace(/up|auf/gu, 'u')
    .replace(/[–—_]/gu, '-')
    .replace(/[^du↓↑-]/gu, '');

function inEighths(cells: string): StrumPattern | undefined {
  const read = parseStrum(`eighths ${cells}`);
  return read.ok ? read.value : undefined;
}

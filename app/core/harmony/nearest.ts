// Finds the readable chord symbol that was most likely meant by what was typed.
import { madeOnce, Remembered } from '../base/remembered.ts';
import { toAscii } from './notes.ts';
import { EVERYDAY_QUALITIES } from './vocabulary.ts';

const ROOTS = ['C', 'D', 'E', 'F', 'G', 'A', 'B'].flatMap((l) => [l, `${l}#`, `${l}b`]);
const everyday = madeOnce(() =>
  ROOTS.flatMap((root) =>
    EVERYDAY_QUALITIES.map(({ name }) => ({
      root,
      symbol: root + name,
      signs: signsOf(root + name),
    })),
  ),
);
/** What stands further on is not the name of a chord. */
const LONGEST_HEAD =
  2 *
  (Math.max(...ROOTS.map((root) => root.length)) +
    Math.max(...EVERYDAY_QUALITIES.map(({ name }) => name.length)));

/** A text sign by sign, as typed and in small letters. */
interface Signs {
  readonly typed: Uint16Array;
  readonly small: Uint16Array;
}

function signsOf(text: string): Signs {
  const typed = new Uint16Array(text.length);
  const small = new Uint16Array(text.length);
  for (let i = 0; i < text.length; i++) {
    typed[i] = text.charCodeAt(i);
    small[i] = text[i]!.toLowerCase().charCodeAt(0);
  }
  return { typed, small };
}

/**
 * Least number of typed, deleted, changed or swapped characters (Damerau 1964, optimal string alignment; from
 * memory); a change of case counts a quarter.
 * @param limit From here on the exact number does not matter: Infinity may stand for it.
 */
export const editDistance = (a: string, b: string, limit = Infinity): number =>
  distance(signsOf(a), signsOf(b), limit);

/** Three rows of the table of distances, as long as any text was so far; every call fills what it reads. */
let rows = [0, 1, 2].map(() => new Float64Array(64));

function distance(a: Signs, b: Signs, limit: number): number {
  const [height, width] = [a.typed.length, b.typed.length];
  if (Math.abs(height - width) >= limit) return Infinity;
  if (width >= rows[0]!.length) rows = rows.map(() => new Float64Array(2 * width));
  let [twoAbove, above, row] = rows as [Float64Array, Float64Array, Float64Array];
  for (let j = 0; j <= width; j++) above[j] = j;
  let leastAbove = 0;
  for (let i = 1; i <= height; i++) {
    row[0] = i;
    let least = i;
    for (let j = 1; j <= width; j++) {
      const same = a.typed[i - 1] === b.typed[j - 1];
      const change = same ? 0 : a.small[i - 1] === b.small[j - 1] ? 0.25 : 1;
      let here = Math.min(above[j - 1]! + change, above[j]! + 1, row[j - 1]! + 1);
      const swapped =
        i > 1 && j > 1 && a.typed[i - 1] === b.typed[j - 2] && a.typed[i - 2] === b.typed[j - 1];
      if (swapped) here = Math.min(here, twoAbove[j - 2]! + 1);
      row[j] = here;
      if (here < least) least = here;
    }
    // Every way on leads through this row, or by a swap from the one above; none becomes cheaper.
    if (least >= limit && leastAbove + 1 >= limit) return Infinity;
    leastAbove = least;
    [twoAbove, above, row] = [above, row, twoAbove];
  }
  return above[width]!;
}

/** Other languages' names of notes at the beginning of a symbol, and ours; the longer ones first. */
const NAMES: readonly (readonly [RegExp, string])[] = [
  [/^sol(?!d)/i, 'G'],
  [/^do(?!m)/i, 'C'],
  [/^ré|^re/i, 'D'],
  [/^mi(?![0-9a])/i, 'E'],
  [/^fa(?!d)/i, 'F'],
  [/^la/i, 'A'],
  [/^si(?!x)/i, 'B'],
  [/^(?:cis)/i, 'C#'],
  [/^(?:des)/i, 'Db'],
  [/^(?:dis)/i, 'D#'],
  [/^(?:es)(?!us)/i, 'Eb'],
  [/^(?:fis)/i, 'F#'],
  [/^(?:ges)/i, 'Gb'],
  [/^(?:gis)/i, 'G#'],
  [/^(?:as)(?!us)/i, 'Ab'],
  [/^(?:ais)/i, 'A#'],
  [/^h/i, 'B'],
];

/** Words for the mode in other languages. */
const MODES: readonly (readonly [RegExp, string])[] = [
  [/[-_ ]?moll$/i, 'm'],
  [/[-_ ]?dur$/i, ''],
];

/** The symbol with every name of a note and mode that was typed in another language put into ours. */
function inOurNames(typed: string): string {
  const [pattern, name] = NAMES.find(([names]) => names.test(typed)) ?? ['', ''];
  const root = typed.replace(pattern, name);
  return MODES.reduce((text, [from, to]) => text.replace(from, to), capital(root));
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** `readable` tells which symbols can be read; the answer always can. */
export function nearestSymbol(symbol: string, readable: (symbol: string) => boolean): string {
  const typed = toAscii(symbol.trim()).replace(/[\s.;:!?*_]+/g, '');
  const ours = inOurNames(typed);
  for (const likely of [capital(typed), ours]) if (readable(likely)) return likely;
  const [, head = '', bass] = /^(.+?)(?:\/([A-Ga-g][#b]?))?$/.exec(ours) ?? [];
  const best = nearestName(head.slice(0, LONGEST_HEAD));
  const over = bass && `${best}/${capital(bass)}`;
  return over && readable(over) ? over : best;
}

/** Less than any two distances differ by. */
const HAIR = 0.01;

/** What was found for a beginning: a text that is being typed is read anew with every letter, and in more than one way. */
const found = new Remembered<string, string>(1_000);

/** The first of the nearest ones. */
const nearestName = (head: string): string => found.of(head, () => searchName(head));

function searchName(head: string): string {
  const typed = signsOf(head);
  const costs = new Map(
    ROOTS.map((root) => {
      const otherRoot = root[0] === head[0] ? 0 : 0.5;
      return [root, otherRoot + (head.startsWith(root) ? 0 : 0.4)];
    }),
  );
  const far = ({ root, signs }: ReturnType<typeof everyday>[number], limit: number): number => {
    const beside = costs.get(root)!;
    return distance(typed, signs, limit - beside) + beside;
  };
  // Names of the same note are mostly the nearest, and say at once how far the others need not be followed.
  let bound = Infinity;
  for (const one of everyday()) {
    if (head.startsWith(one.root)) bound = Math.min(bound, far(one, bound));
  }
  let [best, least] = ['C', bound + HAIR];
  for (const one of everyday()) {
    const now = far(one, least);
    if (now < least) [best, least] = [one.symbol, now];
  }
  return best;
}

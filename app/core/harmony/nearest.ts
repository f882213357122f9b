// Finds the readable chord symbol that was most likely meant by what was typed.
import { toAscii } from './notes.ts';
import { EVERYDAY_QUALITIES } from './vocabulary.ts';

const ROOTS = ['C', 'D', 'E', 'F', 'G', 'A', 'B'].flatMap((l) => [l, `${l}#`, `${l}b`]);
const EVERYDAY = ROOTS.flatMap((root) =>
  EVERYDAY_QUALITIES.map(({ name }) => ({ root, symbol: root + name })),
);

/**
 * Least number of typed, deleted, changed or swapped characters (Damerau 1964, optimal string alignment; from
 * memory); a change of case counts a quarter.
 * @param limit From here on the exact number does not matter: Infinity may stand for it.
 */
export function editDistance(a: string, b: string, limit = Infinity): number {
  if (Math.abs(a.length - b.length) >= limit) return Infinity;
  const width = b.length + 1;
  let twoAbove = new Array<number>(width).fill(Infinity);
  let above = Array.from({ length: width }, (_, i) => i);
  let row = new Array<number>(width).fill(0);
  let leastAbove = 0;
  for (let i = 1; i <= a.length; i++) {
    row[0] = i;
    let least = i;
    for (let j = 1; j <= b.length; j++) {
      let here = above[j - 1]! + changeCost(a[i - 1]!, b[j - 1]!);
      here = Math.min(here, above[j]! + 1, row[j - 1]! + 1);
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      if (swapped) here = Math.min(here, twoAbove[j - 2]! + 1);
      row[j] = here;
      if (here < least) least = here;
    }
    // Every way on leads through this row, or by a swap from the one above; none becomes cheaper.
    if (least >= limit && leastAbove + 1 >= limit) return Infinity;
    leastAbove = least;
    [twoAbove, above, row] = [above, row, twoAbove];
  }
  return above[b.length]!;
}

function changeCost(a: string, b: string): number {
  if (a === b) return 0;
  return a.toLowerCase() === b.toLowerCase() ? 0.25 : 1;
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
  const [, name] = NAMES.find(([pattern]) => pattern.test(typed)) ?? [];
  const pattern = NAMES.find(([p]) => p.test(typed))?.[0];
  const root = name && pattern ? typed.replace(pattern, name) : typed;
  const capital = root.charAt(0).toUpperCase() + root.slice(1);
  return MODES.reduce((text, [from, to]) => text.replace(from, to), capital);
}

/** `readable` tells which symbols can be read; the answer always can. */
export function nearestSymbol(symbol: string, readable: (symbol: string) => boolean): string {
  const typed = toAscii(symbol.trim()).replace(/[\s.;:!?*_]+/g, '');
  const capital = typed.charAt(0).toUpperCase() + typed.slice(1);
  for (const likely of [capital, inOurNames(typed)]) if (readable(likely)) return likely;
  const [, head = '', bass = ''] = /^(.+?)(\/[A-Ga-g][#b]?)?$/.exec(inOurNames(typed)) ?? [];
  const best = nearestName(head.slice(0, LONGEST_HEAD));
  return bass && readable(best + bass) ? best + bass.replace(/[a-g]/, (b, at: number) => (at === 1 ? b.toUpperCase() : b)) : best; // prettier-ignore
}

/** What stands further on is not the name of a chord. */
const LONGEST_HEAD = 2 * Math.max(...EVERYDAY.map(({ symbol }) => symbol.length));

/** The first of the nearest ones. */
function nearestName(head: string): string {
  const costs = new Map(
    ROOTS.map((root) => {
      const otherRoot = root[0] === head[0] ? 0 : 0.5;
      return [root, otherRoot + (head.startsWith(root) ? 0 : 0.4)];
    }),
  );
  let [best, least] = ['C', Infinity];
  for (const { root, symbol } of EVERYDAY) {
    const beside = costs.get(root)!;
    const distance = editDistance(head, symbol, least - beside) + beside;
    if (distance < least) [best, least] = [symbol, distance];
  }
  return best;
}

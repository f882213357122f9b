// Finds the readable chord symbol that was most likely meant by what was typed.
import { toAscii } from './notes.ts';
import { EVERYDAY_QUALITIES } from './vocabulary.ts';

const ROOTS = ['C', 'D', 'E', 'F', 'G', 'A', 'B'].flatMap((l) => [l, `${l}#`, `${l}b`]);

/**
 * Least number of typed, deleted, changed or swapped characters (Damerau 1964, optimal string alignment; from
 * memory); a change of case counts a quarter.
 */
export function editDistance(a: string, b: string): number {
  const rows = [Array.from({ length: b.length + 1 }, (_, i) => i)];
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    const above = rows[i - 1]!;
    for (let j = 1; j <= b.length; j++) {
      const change = above[j - 1]! + changeCost(a[i - 1]!, b[j - 1]!);
      const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1];
      const swap = swapped ? rows[i - 2]![j - 2]! + 1 : Infinity;
      row.push(Math.min(change, swap, above[j]! + 1, row[j - 1]! + 1));
    }
    rows.push(row);
  }
  return rows[a.length]![b.length]!;
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
  const best = nearestName(head);
  return bass && readable(best + bass) ? best + bass.replace(/[a-g]/, (b, at: number) => (at === 1 ? b.toUpperCase() : b)) : best; // prettier-ignore
}

function nearestName(head: string): string {
  let best = 'C';
  let least = Infinity;
  for (const root of ROOTS) {
    for (const { name } of EVERYDAY_QUALITIES) {
      const candidate = root + name;
      const otherRoot = candidate[0] === head[0] ? 0 : 0.5;
      const otherSign = head.startsWith(root) ? 0 : 0.4;
      const beside = otherRoot + otherSign;
      // Every letter too many or too few costs one, whatever they are.
      if (Math.abs(head.length - candidate.length) + beside >= least) continue;
      const distance = editDistance(head, candidate) + beside;
      if (distance < least) [best, least] = [candidate, distance];
    }
  }
  return best;
}

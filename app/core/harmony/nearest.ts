// Finds the readable chord symbol that is fewest keystrokes away from what was typed.
import { toAscii } from './notes.ts';

/** Suffixes offered as corrections, the everyday ones first: ties go to the earlier. */
const OFFERED = [
  '',
  'm',
  '7',
  'm7',
  'maj7',
  'sus4',
  'sus2',
  'add9',
  'dim',
  'aug',
  '6',
  'm6',
  '9',
  'm9',
  'maj9',
  '5',
  '7sus4',
  'dim7',
  'm7b5',
  '6/9',
  '7#9',
  '7b9',
  '11',
  '13',
  'm11',
  '7#5',
  '7b5',
  'm(maj7)',
  'madd9',
];
const ROOTS = ['C', 'D', 'E', 'F', 'G', 'A', 'B'].flatMap((l) => [l, `${l}#`, `${l}b`]);

/** Least number of typed, deleted or changed characters; a change of case counts a quarter. */
export function editDistance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, i) => i);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      const change = row[j - 1]! + changeCost(a[i - 1]!, b[j - 1]!);
      next.push(Math.min(change, row[j]! + 1, next[j - 1]! + 1));
    }
    row = next;
  }
  return row[b.length]!;
}

function changeCost(a: string, b: string): number {
  if (a === b) return 0;
  return a.toLowerCase() === b.toLowerCase() ? 0.25 : 1;
}

/** In German H is our B; nothing else starts a chord with H. */
const germanH = (typed: string): string => typed.replace(/^[Hh](?!dim)/, 'B');

/** `readable` tells which symbols can be read; the answer always can. */
export function nearestSymbol(symbol: string, readable: (symbol: string) => boolean): string {
  const typed = germanH(toAscii(symbol.trim()));
  const capital = typed.charAt(0).toUpperCase() + typed.slice(1);
  if (readable(capital)) return capital;
  const slash = /^(.+)(\/[A-G][#b]?)$/.exec(capital);
  const head = slash ? slash[1]! : capital;
  const candidates = ROOTS.flatMap((root) => OFFERED.map((suffix) => root + suffix));
  let best = 'C';
  let least = Infinity;
  for (const candidate of candidates) {
    const distance = editDistance(head, candidate) + (candidate[0] === head[0] ? 0 : 0.5);
    if (distance < least) [best, least] = [candidate, distance];
  }
  return best + (slash && readable(best + slash[2]!) ? slash[2]! : '');
}

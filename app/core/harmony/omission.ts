// Names the degrees of a chord, and says which of its tones players leave out.
import { Interval } from 'tonal';

export interface Omissible {
  readonly label: string;
  /** Above the root, 0–11. */
  readonly semitones: number;
  readonly kind: 'fifth' | 'fifth of a triad' | 'third' | 'inner tone';
}

const SIGNS: ReadonlyMap<string, string> = new Map([
  ['m', '♭'],
  ['d', '♭'],
  ['A', '♯'],
]);

/** '3m' → '♭3', '7d' → '♭♭7', '9A' → '♯9'. */
export function intervalLabel(interval: string): string {
  const degree = Number.parseInt(interval, 10);
  const quality = interval.at(-1)!;
  const doublyFlat = quality === 'd' && ![1, 4, 5].includes(((degree - 1) % 7) + 1);
  return (doublyFlat ? '♭♭' : (SIGNS.get(quality) ?? '')) + degree;
}

/**
 * Common practice, no source: the perfect fifth may be left out; in chords that reach the 11th or 13th
 * also the third and what lies between the seventh and the top. Altered tones never.
 */
export function omissibleTones(intervals: readonly string[]): readonly Omissible[] {
  const top = Math.max(...intervals.map((interval) => Number.parseInt(interval, 10)));
  const tall = intervals.length >= 5 && top >= 11;
  return intervals.flatMap((interval) => {
    const degree = Number.parseInt(interval, 10);
    const kind = omissionKind(interval, degree, tall && degree < top, intervals.length);
    const semitones = Interval.semitones(interval) % 12;
    return kind ? [{ label: intervalLabel(interval), semitones, kind }] : [];
  });
}

function omissionKind(
  interval: string,
  degree: number,
  below: boolean,
  size: number,
): Omissible['kind'] | undefined {
  if (interval === '5P') return size > 3 ? 'fifth' : 'fifth of a triad';
  if (below && degree === 3) return 'third';
  if (below && (interval === '9M' || interval === '11P')) return 'inner tone';
  return undefined;
}

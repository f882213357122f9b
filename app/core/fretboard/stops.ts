// Every way to cover the stopped strings of a shape with at most four fingers, before fingers are named.
import type { Frets } from '../model/chart.ts';
import type { Fret, StringNo } from '../base/units.ts';
import { lowestFret } from './shape.ts';

/** Strings that one finger holds: one, or all of a barre `from` (lower sounding) to `to`. */
export interface Stop {
  /** Frets above the shape's lowest stopped one. */
  readonly above: Fret;
  readonly from: StringNo;
  readonly to: StringNo;
  /** Strings that sound at this fret; fewer than it crosses where other fingers stop them higher. */
  readonly sounds: number;
  /** A barre must arch clear of the next higher-sounding string, which sounds at a lower fret. */
  readonly clears: boolean;
}

/** Frets ascending; within a fret low strings first, or two stops the other way round. */
export type StopPlan = readonly Stop[];

export const MOST_FINGERS = 4;

/** One base-32 digit per string: 0 muted, 1 open, 2 and more the frets above the lowest. Plans depend on nothing else. */
export function patternKey(frets: Frets): number {
  const low = lowestFret(frets);
  let key = 0;
  for (const fret of frets) key = key * 32 + (fret === null ? 0 : fret === 0 ? 1 : fret - low + 2);
  return key;
}

/** Empty when more than four fingers would be needed. */
export function stopPlans(frets: Frets): readonly StopPlan[] {
  const low = lowestFret(frets);
  const stopped = frets.filter((fret): fret is Fret => fret !== null && fret > 0);
  const levels = [...new Set(stopped)].sort((a, b) => a - b);
  if (levels.length > MOST_FINGERS) return [];
  let plans: Stop[][] = [[]];
  levels.forEach((fret, i) => {
    const room = MOST_FINGERS - (levels.length - 1 - i);
    const groups = groupings(frets, fret, fret - low);
    plans = plans.flatMap((plan) =>
      groups.flatMap((group) => (plan.length + group.length <= room ? [[...plan, ...group]] : [])),
    );
  });
  return plans;
}

/** The strings of one fret cut into single stops and barres; two stops in both orders of fingers. */
function groupings(frets: Frets, fret: Fret, above: Fret): Stop[][] {
  const strings = frets.flatMap((f, index) => (f === fret ? [6 - index] : []));
  let cuts: Stop[][] = [[]];
  strings.forEach((string) => {
    cuts = cuts.flatMap((cut) => {
      const last = cut.at(-1);
      const alone = [...cut, { above, from: string, to: string, sounds: 1, clears: false }];
      if (!last || !canBar(frets, fret, last.from, string)) return [alone];
      const clears = isBelow(frets[6 - string + 1], fret);
      const barre = { ...last, to: string, sounds: last.sounds + 1, clears };
      return [alone, [...cut.slice(0, -1), barre]];
    });
  });
  return cuts.flatMap((cut) => (cut.length === 2 ? [cut, cut.toReversed()] : [cut]));
}

const isBelow = (held: Fret | null | undefined, fret: Fret): boolean =>
  typeof held === 'number' && held < fret;

/** A barre lies across every string between its ends: none may be open or stopped lower (another finger damps a muted one). */
function canBar(frets: Frets, fret: Fret, from: StringNo, to: StringNo): boolean {
  for (let string = from; string >= to; string--) {
    const held = frets[6 - string];
    if (isBelow(held, fret)) return false;
  }
  return true;
}

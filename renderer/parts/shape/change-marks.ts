// Which fingers a change moves: those to mark in the shape that is left, and in the one that comes.
import { type Change, changeBetween } from '../../../app/core/fretboard/change.ts';
import type { Neck } from '../../../app/core/fretboard/geometry.ts';
import type { PathStep } from '../../../app/core/fretboard/path.ts';
import type { Lap } from '../../../app/core/timeline/model.ts';
import type { Finger } from '../../../app/core/base/units.ts';

const fingersThat = (change: Change, ...kinds: Change['fingers'][number]['kind'][]): Finger[] =>
  change.fingers.filter((move) => kinds.includes(move.kind)).map((move) => move.finger);

/** Fingers to lift, slide or move out of the one shape, and to land, slide or move into the other. */
function movingFingers(
  from: PathStep | undefined,
  to: PathStep | undefined,
  neck: Neck,
): { readonly leaving: readonly Finger[]; readonly coming: readonly Finger[] } {
  if (from?.kind !== 'shape' || to?.kind !== 'shape') return { leaving: [], coming: [] };
  const change = changeBetween(from.shape, to.shape, neck);
  return {
    leaving: fingersThat(change, 'lifts', 'slides', 'moves'),
    coming: fingersThat(change, 'lands', 'slides', 'moves'),
  };
}

/**
 * Index of the step that sounds, when `nextChange` changes of this lap have gone by; −1 before the first.
 * A lap taken up at a later bar counts its changes from there.
 */
export function stepAt(
  steps: readonly PathStep[],
  lap: Pick<Lap, 'opening'>,
  fromBar: number,
  nextChange: number,
): number {
  const held = lap.opening === undefined ? 0 : 1;
  if (fromBar === 0) return nextChange - 1 + held;
  const first = steps.findIndex((step) => step.step.bar >= fromBar);
  return (first < 0 ? steps.length : first) + nextChange - 1;
}

/** What the stage shows of the hands at a moment: the shape that is held, the one that comes, and their fingers. */
export interface HandsNow {
  readonly now: PathStep | undefined;
  readonly next: PathStep | undefined;
  readonly leaving: readonly Finger[];
  readonly coming: readonly Finger[];
}

/** `at` is the index from {@link stepAt}; −1 and below is before the first chord. */
export function handsAt(steps: readonly PathStep[], at: number, neck: Neck): HandsNow {
  const now = steps[at];
  const next = steps[Math.max(0, at + 1)];
  return { now, next, ...movingFingers(now, next, neck) };
}

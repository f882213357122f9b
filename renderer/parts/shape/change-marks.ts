// Which fingers a change moves: those to mark in the shape that is left, and in the one that comes.
import { type ShapeChange, changeBetween } from '../../../app/core/fretboard/change.ts';
import { isBarre, type Shape } from '../../../app/core/fretboard/shape.ts';
import type { Neck } from '../../../app/core/fretboard/geometry.ts';
import type { PathStep } from '../../../app/core/fretboard/path.ts';
import type { Lap } from '../../../app/core/timeline/model.ts';
import type { Finger } from '../../../app/core/base/units.ts';

const fingersThat = (
  change: ShapeChange,
  ...kinds: ShapeChange['fingers'][number]['kind'][]
): Finger[] =>
  change.fingers.filter((move) => kinds.includes(move.kind)).map((move) => move.finger);

/** Fingers to lift, slide or move out of the one shape, and to land, slide or move into the other. */
function movingFingers(
  from: PathStep | undefined,
  to: PathStep | undefined,
  neck: Neck,
): Omit<HandsNow, 'now' | 'next'> {
  if (from?.kind !== 'shape' || to?.kind !== 'shape') {
    return { leaving: [], coming: [], words: '' };
  }
  const change = changeBetween(from.shape, to.shape, neck);
  return {
    leaving: fingersThat(change, 'lifts', 'slides', 'moves'),
    coming: fingersThat(change, 'lands', 'slides', 'moves'),
    words: changeSentence(change, to.shape),
  };
}

/** "Finger 2 stays. Fingers 1 and 3 move." */
function changeSentence(change: ShapeChange, to: Shape): string {
  const barre = change.barre === 'made' ? to.presses.find(isBarre) : undefined;
  const stay = fingersThat(change, 'stays');
  const slide = fingersThat(change, 'slides');
  const move = fingersThat(change, 'moves', 'lands');
  return [
    barre ? `Finger ${barre.finger} lies across fret ${barre.fret}, all at once.` : '',
    stay.length > 0 ? `${namedFingers(stay)} ${stay.length === 1 ? 'stays' : 'stay'}.` : '',
    slide.length > 0 ? `${namedFingers(slide)} ${slide.length === 1 ? 'slides' : 'slide'}.` : '',
    !barre && move.length > 0
      ? `${stay.length + slide.length === 0 && move.length > 2 ? 'All fingers' : namedFingers(move)} ${move.length === 1 ? 'moves' : 'move'}.`
      : '',
  ]
    .filter(Boolean)
    .join(' ');
}

/** "Finger 1", "Fingers 1 and 3", "Fingers 1, 2 and 3". */
export function namedFingers(fingers: readonly Finger[]): string {
  const [last, ...others] = [...fingers].reverse();
  if (others.length === 0) return `Finger ${last}`;
  return `Fingers ${others.reverse().join(', ')} and ${last}`;
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
  /** How to get there, in one sentence; '' where nothing is to be said. */
  readonly words: string;
}

/** `at` is the index from {@link stepAt}; −1 and below is before the first chord. */
export function handsAt(steps: readonly PathStep[], at: number, neck: Neck): HandsNow {
  const now = steps[at];
  const next = steps[Math.max(0, at + 1)];
  return { now, next, ...movingFingers(now, next, neck) };
}

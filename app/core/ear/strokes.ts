// Which of the onsets are strokes of the pass: the chart knows where strokes are due, and when the pass begins.
import type { Seconds } from '../base/units.ts';
import type { Expectation } from './model.ts';
import type { Onset } from './onsets.ts';

/** A faint onset counts this near to a due stroke (train half). */
const NEAR: Seconds = 0.06;
/** What sounds earlier than this before the first due stroke is no part of the pass. */
const BEFORE: Seconds = 0.25;

/** Clear onsets from the beginning of the pass on, and faint ones where a stroke is due. */
export function strokesOfPass(
  onsets: readonly Onset[],
  { strokes, changes }: Expectation,
): readonly Onset[] {
  const due = [...strokes.map((s) => s.at), ...changes.map((c) => c.due)];
  const begin = Math.min(...due) - BEFORE;
  return onsets.filter(
    (o) => o.at >= begin && (o.strength >= 1 || due.some((at) => Math.abs(at - o.at) <= NEAR)),
  );
}

// Which of the three steps of the tour belongs to this moment of the first pass.
import type { ClimbState } from '../../../app/core/ladder/model.ts';
import type { LapPart } from '../../../app/core/timeline/timed-bars.ts';

/** 1 in the count-in, 2 while it is played, 3 until the first verdict; 0 from then on, and in silence. */
export function tourStep({ passes, phase }: ClimbState, part: LapPart | undefined): number {
  const [first, second] = passes;
  if (part === undefined || second || first?.source || phase === 'paused') return 0;
  if (part === 'count-in') return 1;
  return part === 'unit' ? 2 : 3;
}

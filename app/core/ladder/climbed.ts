// How long a climb has gone on.
import type { Seconds } from '../base/units.ts';
import type { ClimbState } from './model.ts';

/** Seconds climbed so far, pauses left out. */
export function climbed(state: ClimbState, now: Seconds): Seconds {
  if (state.begunAt === null) return 0;
  const until = state.finished?.at ?? state.pause?.since ?? now;
  return until - state.begunAt - state.pausedFor;
}

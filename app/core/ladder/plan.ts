// What every step of a climb does with its passes and with the plan of the next one.
import type { Seconds } from '../base/units.ts';
import type {
  ClimbEffect,
  ClimbPass,
  ClimbState,
  ClimbStep,
  PlannedPass,
  StopReason,
} from './model.ts';
import { nextSide } from './footholds.ts';

/** Why no pass may follow the last one; null if one may. */
export function lastWord(state: ClimbState): 'top' | 'found' | 'limit' | null {
  if (state.footholds.topped) return state.finding ? 'found' : 'top';
  const { maxPasses } = state.rules;
  const used = maxPasses > 0 && state.passes.length >= maxPasses;
  return used || state.timeUp ? 'limit' : null;
}

/** The state with its plan brought up to date, and the effect that tells the player. */
export function done(state: ClimbState): ClimbStep {
  if (state.phase === 'paused' || state.phase === 'finished') return { state, effects: [] };
  const queued = queuedPlan(state);
  if (queued?.fixed) return { state, effects: [] };
  const silence = lastWord(state) !== null || typeof state.partner?.due === 'number';
  const planned = silence ? null : wanted(state);
  const next: ClimbState = { ...state, planned };
  if (planned === null) return { state: next, effects: queued ? [{ kind: 'unqueue' }] : [] };
  if (samePlan(planned, queued)) return { state: next, effects: [] };
  return { state: next, effects: [{ kind: 'queue', pass: planned.pass, rung: planned.rung }] };
}

/** The plan that the player already holds, if its pass has not begun. */
function queuedPlan(state: ClimbState): PlannedPass | null {
  const last = state.passes.at(-1)?.number ?? 0;
  return state.planned !== null && state.planned.pass > last ? state.planned : null;
}

/** The next pass as the rules want it now. */
export function wanted(state: ClimbState): PlannedPass {
  const last = state.passes.at(-1);
  const side = nextSide(state, last);
  return { pass: (last?.number ?? 0) + 1, rung: state.footholds[side].rung, side, fixed: false };
}

/** Closes every open pass before `number`: played, but nobody said how it went. */
export function close(state: ClimbState, number: number): ClimbStep {
  const late = state.passes.filter((p) => p.open && p.number < number);
  const closed = late.reduce(
    (so, p) => amendPass(so, p.number, { open: false, verdict: 'unjudged', logged: true }),
    state,
  );
  const effects = late
    .filter((p) => !p.logged)
    .map((p): ClimbEffect => {
      return { kind: 'log', pass: p.number, verdict: 'unjudged', source: 'self' };
    });
  return { state: closed, effects };
}

/** Forgets the pass that sounds now, as if it had not begun. */
export function withoutRunning(state: ClimbState): ClimbState {
  return { ...state, passes: state.passes.filter((p) => p.ended) };
}

/** Changes one pass that has started; an unknown number changes nothing. */
export function amendPass(
  state: ClimbState,
  number: number,
  change: Partial<ClimbPass>,
): ClimbState {
  const passes = state.passes.map((p) => (p.number === number ? { ...p, ...change } : p));
  return { ...state, passes };
}

/** The pass that sounds now; undefined between passes. */
export const runningPass = (state: ClimbState): ClimbPass | undefined =>
  state.passes.find((p) => !p.ended);

/** A pass that has started. */
export const passOf = (state: ClimbState, number: number): ClimbPass =>
  state.passes.find((p) => p.number === number) as ClimbPass;

const samePlan = (a: PlannedPass | null, b: PlannedPass | null): boolean =>
  a?.pass === b?.pass && a?.rung === b?.rung && a?.side === b?.side;

type PassAt = Pick<PlannedPass, 'pass' | 'rung'>;

/** Starts a pass from its first bar. */
export const play = ({ pass, rung }: PassAt): ClimbEffect => ({
  kind: 'play',
  pass,
  rung,
  again: false,
});

/** Takes a pass up again where it was broken off. */
export const playAgain = ({ pass, rung }: PassAt): ClimbEffect => ({
  kind: 'play',
  pass,
  rung,
  again: true,
});

/** An event that changes nothing here. @param ignored says why */
export const ignore = (state: ClimbState, ignored: string): ClimbStep => ({
  state,
  effects: [],
  ignored,
});

/** One step after the other: the state of the second, the effects of both. */
export const followedBy = (first: ClimbStep, then: ClimbStep): ClimbStep => ({
  state: then.state,
  effects: [...first.effects, ...then.effects],
});

/**
 * The end of a climb; passes that wait for a verdict go to the log unjudged. @param now seconds of the climb's clock
 */
export function finish(state: ClimbState, reason: StopReason, now: Seconds): ClimbStep {
  const closed = close(state, Infinity);
  const at = state.pause?.since ?? now;
  const next: ClimbState = {
    ...closed.state,
    phase: 'finished',
    planned: null,
    pause: null,
    finished: { reason, at },
  };
  return { state: next, effects: [...closed.effects, { kind: 'finished', reason }] };
}

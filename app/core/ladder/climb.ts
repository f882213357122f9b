// A climb as a pure reducer: (state, event) → (state, effects), with its phases as an explicit table.
import { climbed } from './climbed.ts';
import type { Seconds } from '../base/units.ts';
import type {
  ClimbEffect,
  ClimbEvent,
  ClimbPass,
  ClimbPhase,
  ClimbState,
  ClimbStep,
  StopReason,
} from './model.ts';
import { playsOn } from '../timeline/play-on.ts';
import { find } from './finding.ts';
import {
  ask,
  askAgain,
  askDue,
  asks,
  back,
  broke,
  dueAfter,
  goOn,
  heardOf,
  notAway,
  take,
  takenBack,
} from './asking.ts';
import { count } from './footholds.ts';
import {
  amendPass,
  close,
  done,
  finish,
  followedBy,
  ignore,
  lastWord,
  passOf,
  play,
  playAgain,
  runningPass,
  wanted,
  withoutRunning,
} from './plan.ts';

/** Which events mean something in which phase; all others are ignored with a reason. */
export const ACCEPTED: Readonly<Record<ClimbPhase, readonly ClimbEvent['kind'][]>> = {
  ready: ['begin', 'stop'],
  'counting-in': ['pass-started', 'unit-started', 'pass-fixed', 'verdict', 'undo', 'pause', 'stop'],
  playing: ['pass-fixed', 'pass-ended', 'verdict', 'undo', 'pause', 'stop'],
  resting: ['pass-fixed', 'pass-started', 'verdict', 'undo', 'pause', 'stop'],
  asking: ['verdict', 'broke', 'take', 'undo', 'pause', 'stop'],
  away: ['back', 'undo', 'stop'],
  paused: ['verdict', 'undo', 'resume', 'stop'],
  finished: ['verdict', 'undo'],
};

/** One event. Never throws: an event that means nothing now is ignored, and `ignored` says why. */
export function step(state: ClimbState, event: ClimbEvent): ClimbStep {
  if (!ACCEPTED[state.phase].includes(event.kind)) {
    return ignore(state, `“${event.kind}” means nothing while the climb is ${state.phase}.`);
  }
  switch (event.kind) {
    case 'begin':
      return begin(state, event.now);
    case 'pass-started':
      return passStarted(state, event.pass, event.now);
    case 'unit-started':
      return unitStarted(state, event.pass);
    case 'pass-fixed':
      return passFixed(state, event.pass);
    case 'pass-ended':
      return passEnded(state, event.pass, event.underrun, event.now);
    case 'verdict':
      return verdict(state, event);
    case 'broke':
      return broke(state, event.place, event.source);
    case 'take':
      return take(state, event.answer, event.now);
    case 'back':
      return back(state);
    case 'undo':
      return state.phase === 'away' ? notAway(state) : undo(state, event.now);
    case 'pause':
      return pause(state, event);
    case 'resume':
      return resume(state, event.now);
    case 'stop':
      return finish(state, event.reason, event.now);
  }
}

/** The pass a verdict given now is meant for: the one still open, else the ear's last, which may be overruled. */
export function judgeable(state: ClimbState): ClimbPass | undefined {
  const open = state.passes.find((p) => p.open);
  return open ?? state.passes.find((p) => mayOverrule(state, p));
}

function begin(state: ClimbState, now: Seconds): ClimbStep {
  const planned = wanted(state);
  const next: ClimbState = { ...state, phase: 'counting-in', begunAt: now, planned };
  return { state: next, effects: [play(planned)] };
}

function passStarted(state: ClimbState, number: number, now: Seconds): ClimbStep {
  const running = runningPass(state);
  if (running !== undefined) {
    if (running.number !== number) return ignore(state, `Pass ${running.number} is still playing.`);
    return done({ ...state, phase: 'counting-in' });
  }
  const { planned } = state;
  if (planned?.pass !== number) return ignore(state, `Pass ${number} was not planned.`);
  const pass: ClimbPass = {
    number,
    rung: planned.rung,
    side: planned.side,
    ended: false,
    open: false,
    logged: false,
    verdict: null,
    source: null,
    underrun: false,
    interrupted: false,
    after: state.partner?.step ?? null,
  };
  const next: ClimbState = {
    ...state,
    ...{ phase: 'counting-in', passes: [...state.passes, pass] },
    partner: state.partner && { ...state.partner, step: null },
  };
  return done(playsOn(state.rules) ? checkTime(next, now) : next);
}

function unitStarted(state: ClimbState, number: number): ClimbStep {
  const running = runningPass(state);
  if (running?.number !== number) return ignore(state, `Pass ${number} has not started.`);
  const next: ClimbState = { ...state, phase: 'playing' };
  return playsOn(state.rules) ? done(next) : close(next, number);
}

function passFixed(state: ClimbState, number: number): ClimbStep {
  const { planned } = state;
  if (planned?.pass !== number) return ignore(state, `Pass ${number} was not planned.`);
  return { state: { ...state, planned: { ...planned, fixed: true } }, effects: [] };
}

function passEnded(state: ClimbState, number: number, underrun: boolean, now: Seconds): ClimbStep {
  const running = runningPass(state);
  if (running?.number !== number) return ignore(state, `Pass ${number} is not playing.`);
  const due = typeof state.partner?.due === 'number';
  const undoable = due ? state.undoable : null;
  const closed = close({ ...state, phase: 'resting', undoable }, number);
  const ended = amendPass(closed.state, number, { ended: true, open: true, underrun });
  const next = playsOn(state.rules) ? ended : checkTime(ended, now);
  // A lap that is too near to be replaced is played first.
  return followedBy(closed, due && !next.planned?.fixed ? askDue(next) : done(next));
}

type Judging = Extract<ClimbEvent, { kind: 'verdict' }>;

function verdict(state: ClimbState, event: Judging): ClimbStep {
  const pass = state.passes.find((p) => p.number === event.pass);
  if (pass === undefined || !pass.ended)
    return ignore(state, `Pass ${event.pass} is not over yet.`);
  if (pass.open) return judge(state, pass, event);
  const overrules = event.source !== 'ear' && mayOverrule(state, pass);
  if (overrules && pass.verdict !== event.verdict) {
    const reopened = takeBack(state, pass.number, event.now);
    return judge(reopened, passOf(reopened, pass.number), event);
  }
  return ignore(
    state,
    pass.verdict === 'unjudged'
      ? `The time to judge pass ${pass.number} is over.`
      : `Pass ${pass.number} is already judged.`,
  );
}

function judge(
  state: ClimbState,
  pass: ClimbPass,
  { verdict: given, source, now }: Judging,
): ClimbStep {
  const counted = state.finding ? find(state, pass, given) : count(state, pass, given);
  const judged = amendPass(state, pass.number, {
    verdict: given,
    source,
    open: false,
    logged: true,
  });
  const { footholds: before, partner } = state;
  const undoable = { pass: pass.number, before, partner };
  const said: ClimbEffect = {
    kind: pass.logged ? 'amend' : 'log',
    pass: pass.number,
    verdict: given,
    source,
  };
  const told: ClimbState = {
    ...judged,
    ...{ footholds: counted.footholds, undoable },
    partner: partner && heardOf(partner, given),
  };
  const due = dueAfter(told, pass, given);
  const stood = told.partner ? { ...told, partner: { ...told.partner, due } } : told;
  if (asks(stood, pass, given)) {
    const asked = ask(stood, pass);
    return { state: asked.state, effects: [said, ...asked.effects] };
  }
  const next = state.phase === 'asking' ? goOn(stood) : done(stood);
  return settle({ state: next.state, effects: [said, ...counted.effects, ...next.effects] }, now);
}

function undo(state: ClimbState, now: Seconds): ClimbStep {
  if (state.undoable === null) return ignore(state, 'There is no verdict to take back.');
  const number = state.undoable.pass;
  const pass = passOf(state, number);
  const next = takenBack(takeBack(state, number, now), done);
  const said: ClimbEffect = {
    kind: 'amend',
    pass: number,
    verdict: 'unjudged',
    source: pass.source ?? 'self',
  };
  return { state: next.state, effects: [said, ...next.effects] };
}

/** Ends that a verdict brought about, so that taking it back undoes them. */
const OWN_ENDS: readonly StopReason[] = ['top', 'limit', 'found'];

/** As before the verdict. A climb that the verdict finished comes back paused. */
function takeBack(state: ClimbState, number: number, now: Seconds): ClimbState {
  const before = state.undoable?.before ?? state.footholds;
  const reopened = amendPass(state, number, { verdict: null, source: null, open: true });
  const partner = state.undoable?.partner ?? state.partner;
  const back: ClimbState = { ...reopened, footholds: before, partner, undoable: null };
  const { finished } = state;
  if (finished === null || !OWN_ENDS.includes(finished.reason)) return back;
  const since = Math.min(finished.at, now);
  return { ...back, phase: 'paused', finished: null, pause: { reason: 'player', since } };
}

function pause(state: ClimbState, event: Extract<ClimbEvent, { kind: 'pause' }>): ClimbStep {
  const kept = interrupt(state);
  const next: ClimbState = {
    ...kept,
    phase: 'paused',
    planned: null,
    pause: { reason: event.reason, since: event.now },
  };
  return { state: next, effects: [{ kind: 'halt', reason: event.reason }] };
}

/** A pass whose unit has not begun is as if it had never started; one that has begun is taken up again. */
function interrupt(state: ClimbState): ClimbState {
  const running = runningPass(state);
  if (running === undefined) return state;
  if (state.phase === 'counting-in' && !running.interrupted) return withoutRunning(state);
  return amendPass(state, running.number, { interrupted: true });
}

function resume(state: ClimbState, now: Seconds): ClimbStep {
  const since = state.pause?.since ?? now;
  const pausedFor = state.pausedFor + Math.max(0, now - since);
  const resumed: ClimbState = { ...state, pause: null, pausedFor };
  if (state.partner?.asked) return askAgain(resumed);
  const running = runningPass(state);
  if (!running && typeof state.partner?.due === 'number') return askDue(resumed);
  if (running !== undefined) {
    const again = { pass: running.number, rung: running.rung };
    return { state: { ...resumed, phase: 'counting-in' }, effects: [playAgain(again)] };
  }
  if (lastWord(state) !== null) return done({ ...resumed, phase: 'resting' });
  const planned = wanted(state);
  return { state: { ...resumed, phase: 'counting-in', planned }, effects: [play(planned)] };
}

/** Ends the climb once no pass can follow and none is playing or waiting for its verdict. */
function settle(so: ClimbStep, now: Seconds): ClimbStep {
  const reason = lastWord(so.state);
  const waiting = so.state.passes.some((p) => p.open);
  if (reason === null || waiting || so.state.phase === 'finished') return so;
  // At the top a pass that is only being counted in is not wanted any more; the last of a limit is.
  const countingIn = so.state.phase === 'counting-in' && !runningPass(so.state)?.interrupted;
  const cleared = countingIn && reason !== 'limit' ? withoutRunning(so.state) : so.state;
  return runningPass(cleared) ? so : followedBy(so, finish(cleared, reason, now));
}

function checkTime(state: ClimbState, now: Seconds): ClimbState {
  const limit = state.rules.maxMinutes * 60;
  return limit > 0 && climbed(state, now) >= limit ? { ...state, timeUp: true } : state;
}

const mayOverrule = (state: ClimbState, pass: ClimbPass): boolean =>
  pass.source === 'ear' && state.undoable?.pass === pass.number;

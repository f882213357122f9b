// After a miss: the climb waits in silence for where it broke, then takes the partner's step or another one.
import type { ClimbSource, Verdict } from '../model/pass.ts';
import type { BreakPlace } from '../model/unit.ts';
import type { Bpm, Seconds } from '../base/units.ts';
import type {
  Answer,
  AnswerKind,
  Asked,
  ClimbEffect,
  ClimbPass,
  ClimbState,
  ClimbStep,
  Footing,
  Partner,
  Footholds,
} from './model.ts';
import { askAbout, likeliest } from './partner.ts';
import {
  close,
  finish,
  followedBy,
  ignore,
  lastWord,
  passOf,
  play,
  runningPass,
  wanted,
  withoutRunning,
} from './plan.ts';
import { dropTo, fresh } from './footholds.ts';

/**
 * The pass to ask about later, or null. In play-on there is no silence to ask in: a miss is played through, and
 * once there are so many of them in a row the climb falls silent after the pass that sounds. A miss that is said
 * in a pause is asked about when the climb goes on.
 */
export function dueAfter(state: ClimbState, pass: ClimbPass, given: Verdict): number | null {
  const { partner, phase, rules, footholds } = state;
  const enough = footholds[pass.side].misses >= rules.missedToDrop;
  const waits = phase === 'paused' && runningPass(state) === undefined;
  const asking = partner !== null && given === 'missed' && (rules.restBars === 0 ? enough : waits);
  return asking && !pass.underrun && lastWord(state) === null ? pass.number : null;
}

/** The silence that was due; the pass in which the word was given stays unjudged. */
export function askDue(state: ClimbState): ClimbStep {
  const closed = close(state, Infinity);
  const pass = closed.state.passes.find((p) => p.number === state.partner?.due);
  return pass ? followedBy(closed, ask(closed.state, pass)) : closed;
}

/** Does the partner answer this verdict at once? */
export function asks(state: ClimbState, pass: ClimbPass, given: Verdict): boolean {
  const running = runningPass(state);
  const between = state.phase === 'resting' || state.phase === 'asking';
  const countingIn = state.phase === 'counting-in' && running?.interrupted !== true;
  return (
    state.partner !== null &&
    given === 'missed' &&
    !pass.underrun &&
    state.rules.restBars > 0 &&
    lastWord(state) === null &&
    (between || countingIn)
  );
}

/** What a verdict does to the partner's memory. */
export function heardOf(partner: Partner, given: Verdict): Partner {
  return given === 'clean'
    ? { ...partner, asked: null, due: null, taken: [], cleans: partner.cleans + 1 }
    : { ...partner, asked: null, due: null, cleans: 0 };
}

/** Silence, and the question. */
export function ask(state: ClimbState, { number }: ClimbPass): ClimbStep {
  const partner = state.partner as Partner;
  const asked = askAbout(state, partner, number, likeliest(partner));
  const waiting: ClimbState = {
    ...withoutRunning(state),
    ...{ phase: 'asking', planned: null },
    partner: { ...partner, asked, due: null },
  };
  return { state: waiting, effects: [{ kind: 'ask', pass: number }] };
}

/** The question once more, after a pause. */
export function askAgain(state: ClimbState): ClimbStep {
  const pass = state.partner?.asked?.pass ?? 0;
  return { state: { ...state, phase: 'asking' }, effects: [{ kind: 'ask', pass }] };
}

/** Where it broke. What the ear found is in its own findings and needs no mark. */
export function broke(state: ClimbState, place: BreakPlace | null, source: ClimbSource): ClimbStep {
  const { partner } = state;
  const asked = partner?.asked;
  if (!partner || !asked) return ignore(state, 'No pass has just broken.');
  const others = partner.marks.filter((mark) => mark.pass !== asked.pass);
  const marks = place === null ? others : [...others, { pass: asked.pass, place }];
  const marked: Partner = { ...partner, marks };
  const next: ClimbState = {
    ...state,
    partner: { ...marked, asked: askAbout(state, marked, asked.pass, place) },
  };
  const mark: ClimbEffect = { kind: 'mark', pass: asked.pass, place, source };
  return { state: next, effects: source === 'ear' ? [] : [mark] };
}

/** Takes the first step that is offered, or the one that was asked for. */
export function take(state: ClimbState, kind: AnswerKind | undefined, now: Seconds): ClimbStep {
  const { partner } = state;
  const asked = partner?.asked;
  if (!partner) return ignore(state, 'There is nothing to choose from.');
  // The verdict was taken back and nobody gave another one.
  if (!asked) {
    const closed = close(state, Infinity);
    return followedBy(closed, goOn(closed.state));
  }
  const answer = asked.answers.find((one) => one.kind === kind) ?? asked.answers[0];
  if (answer === undefined) return ignore(state, 'There is nothing to choose from.');
  const taken = [...partner.taken, answer.kind];
  const step = answer.kind === 'enough' ? null : answer.kind;
  const next: ClimbState = { ...state, partner: { ...partner, taken, asked: null, step } };
  return carryOut(next, answer, asked, now);
}

function carryOut(state: ClimbState, answer: Answer, asked: Asked, now: Seconds): ClimbStep {
  switch (answer.kind) {
    case 'again':
      return goOn(state);
    case 'slower':
      return slower(state, asked, answer.bpm);
    case 'drill':
    case 'piece': {
      const { undoable } = state;
      const partner = { ...(state.partner as Partner), away: { answer, asked, undoable } };
      const away: ClimbState = { ...state, phase: 'away', undoable: null, partner };
      return { state: away, effects: [{ kind: 'detour', answer }] };
    }
    case 'break': {
      const pause = { reason: 'break', since: now } as const;
      const paused: ClimbState = { ...state, phase: 'paused', pause };
      return { state: paused, effects: [{ kind: 'halt', reason: 'break' }] };
    }
    case 'enough':
      return finish(state, 'player', now);
  }
}

/** Back from a drill a rung below where it broke; from a piece at the same tempo. */
export function back(state: ClimbState): ClimbStep {
  const { partner } = state;
  if (!partner) return ignore(state, 'There is nothing to come back from.');
  const here: ClimbState = { ...state, partner: { ...partner, away: null } };
  const { rung } = state.footholds.lower;
  const to = partner.away?.answer.kind === 'drill' ? Math.max(0, rung - 1) : rung;
  const footholds: Footholds = { ...state.footholds, lower: fresh(to) };
  return moved(goOn({ ...here, footholds }), to, rung);
}

/** The way off is taken back: the question stands again as it stood, and the verdict may be undone, too. */
export function notAway(state: ClimbState): ClimbStep {
  const { partner } = state;
  if (!partner?.away) return ignore(state, 'There is nothing to take back.');
  const { asked, undoable } = partner.away;
  const taken = partner.taken.slice(0, -1);
  const before: Partner = { ...partner, asked, taken, away: null, step: null };
  const next: ClimbState = { ...state, phase: 'asking', undoable, partner: before };
  return { state: next, effects: [{ kind: 'ask', pass: asked.pass }] };
}

/** Starts the next pass out of the silence, or nothing where none may follow. */
export function goOn(state: ClimbState): ClimbStep {
  if (lastWord(state) !== null) {
    return { state: { ...state, phase: 'resting', planned: null }, effects: [] };
  }
  const planned = wanted(state);
  const next: ClimbState = { ...state, phase: 'counting-in', planned };
  return { state: next, effects: [play(planned)] };
}

function slower(state: ClimbState, { pass: number }: Asked, bpm: Bpm): ClimbStep {
  const pass = passOf(state, number);
  if (pass.rung === 0) return moved(goOn(withRungUnder(state, bpm)), 0, 1);
  const to = Math.max(0, dropTo(state, state.footholds, pass.rung));
  const lower = fresh(Math.min(to, state.footholds.lower.rung));
  const next: ClimbState = { ...state, footholds: { ...state.footholds, lower } };
  return moved(goOn(next), lower.rung, pass.rung);
}

function moved(so: ClimbStep, to: number, from: number): ClimbStep {
  if (to >= from) return so;
  const said: ClimbEffect = { kind: 'moved', move: 'dropped', side: 'lower', rung: to };
  return { state: so.state, effects: [said, ...so.effects] };
}

/** The ladder with one more rung at its foot, on which the climb now stands. */
function withRungUnder(state: ClimbState, bpm: Bpm): ClimbState {
  const up = <T extends { readonly rung: number }>(on: T): T => ({ ...on, rung: on.rung + 1 });
  const raised = (footholds: Footholds): Footholds => ({
    ...footholds,
    lower: up<Footing>(footholds.lower),
    upper: up<Footing>(footholds.upper),
    owned: footholds.owned > 0 ? footholds.owned + 1 : 0,
  });
  const { undoable } = state;
  return {
    ...state,
    rungs: [bpm, ...state.rungs],
    targetRung: state.targetRung + 1,
    passes: state.passes.map(up),
    footholds: { ...raised(state.footholds), lower: fresh(0) },
    undoable: undoable && { ...undoable, before: raised(undoable.before) },
  };
}

/** After a verdict was taken back: in the silence the climb waits for another one. */
export function takenBack(
  state: ClimbState,
  otherwise: (state: ClimbState) => ClimbStep,
): ClimbStep {
  if (state.phase !== 'asking') return otherwise(state);
  const partner = state.partner && { ...state.partner, asked: null };
  return { state: { ...state, partner }, effects: [] };
}

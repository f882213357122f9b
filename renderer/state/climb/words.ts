// What a climb says in words and shows of its rungs: pure functions of its state, for stage and speech.
import { finderOf } from '../../../app/core/ladder/finding.ts';
import type {
  ClimbEffect,
  ClimbState,
  PauseReason,
  StopReason,
} from '../../../app/core/ladder/model.ts';
import type { Bpm } from '../../../app/core/base/units.ts';
import type { PassVerdict } from '../../../app/core/model/pass.ts';

/** One rung as the drawn ladder shows it. */
export interface RungView {
  readonly index: number;
  readonly bpm: Bpm;
  readonly target: boolean;
  readonly owned: boolean;
  /** The pass playing or, between passes, the next one is on this rung. */
  readonly here: boolean;
  /** Judged and unjudged passes on it in this climb, oldest first. */
  readonly results: readonly PassVerdict[];
}

/** The ladder of a climb as it is drawn, lowest rung first. */
export function rungViews(state: ClimbState): readonly RungView[] {
  const here = presentRung(state);
  return state.rungs.map((bpm, index) => ({
    index,
    bpm,
    target: index === state.targetRung,
    owned: index <= state.footholds.owned && state.footholds.owned > 0,
    here: index === here,
    results: state.passes.flatMap((p) => (p.rung === index && p.verdict ? [p.verdict] : [])),
  }));
}

/** Rung of the pass that is playing, else of the one that comes next. */
export function presentRung(state: ClimbState): number {
  const running = state.passes.find((p) => !p.ended);
  if (running !== undefined) return running.rung;
  return state.planned?.rung ?? state.passes.at(-1)?.rung ?? state.footholds.lower.rung;
}

const PAUSED: Readonly<Record<PauseReason, string>> = {
  player: 'Paused.',
  'audio-lost': 'Paused: the sound stopped. Check the headphones or speakers, then go on.',
  sleep: 'Paused: the computer went to sleep.',
  hidden: 'Paused: the window was hidden.',
  break:
    'Five minutes’ break. Put the guitar down and let shoulders, wrists and fingers hang loose.',
};

const FINISHED: Readonly<Record<Exclude<StopReason, 'found'>, string>> = {
  player: 'Stopped.',
  hurts:
    'Stopped. Rest your hands; this pass is not held against you. If it keeps hurting, ask a doctor or hand clinician.',
  top: 'You reached the top of the ladder.',
  limit: 'That was the last pass of this climb.',
  closed: 'Stopped.',
};

/** How a climb ended; a search names the tempo it found and the range it went to and fro in. */
function finishedWords(state: ClimbState, reason: StopReason): string {
  if (reason !== 'found') return FINISHED[reason];
  const found = finderOf(state).found;
  if (found === null) return FINISHED.limit;
  return `${found.start} bpm is a comfortable start; it lies somewhere from ${found.low} to ${found.high}.`;
}

/** The sentence that stands on the stage, or '' when the music says it all. */
export function standingWords(state: ClimbState): string {
  if (state.finished !== null) return finishedWords(state, state.finished.reason);
  if (state.pause !== null) return PAUSED[state.pause.reason];
  const last = state.passes.at(-1);
  const lastOne = state.phase === 'resting' && state.planned === null && last?.open;
  if (lastOne) return 'That was the last pass. Clean or missed?';
  return state.phase === 'resting' && last?.open ? 'Clean or missed?' : '';
}

/** Why a miss leads to nothing: what the sound did is not the player's. */
function uncountedWords({ passes }: ClimbState): string {
  const judged = passes.findLast(({ verdict }) => verdict !== null);
  const uncounted = judged?.verdict === 'missed' && judged.underrun;
  return uncounted ? 'The sound stumbled in that pass, so it does not count. ' : '';
}

/** Between passes: how fast the next one is, and what it takes to climb from there; '' where none follows. */
export function nextWords(state: ClimbState): string {
  const { planned, rules, footholds } = state;
  if (state.finding || planned === null) return '';
  const { rung, cleans } = footholds[planned.side];
  const next = `${uncountedWords(state)}Next: ${state.rungs[planned.rung]}.`;
  if (rung !== planned.rung) return next;
  const missing = Math.max(1, rules.cleanToClimb - cleans);
  const atTop = rung === state.rungs.length - 1;
  const more = cleans > 0 ? 'One more clean pass' : 'One clean pass';
  if (missing === 1) return `${next} ${more} ${atTop ? 'is the top' : 'takes you up'}.`;
  return `${next} ${missing} clean passes in a row ${atTop ? 'are the top' : 'take you up'}.`;
}

/** A pass that sounds already, or is too near to be replaced, comes first. */
function whenMoved(state: ClimbState): string {
  const running = state.passes.some((p) => !p.ended);
  return running || state.planned?.fixed ? ' after this pass' : '';
}

/** What an effect is worth saying aloud or as a passing remark; undefined where it is not. */
export function effectWords(effect: ClimbEffect, state: ClimbState): string | undefined {
  switch (effect.kind) {
    case 'moved':
      return `${moveWord(effect)} to ${state.rungs[effect.rung]}${whenMoved(state)}.`;
    case 'suggest':
      return `${effect.passes} passes at ${state.rungs[effect.rung]} bpm. It may be a good moment to stop for now.`;
    case 'log':
    case 'amend':
      return SAID[effect.verdict];
    case 'finished':
      return finishedWords(state, effect.reason);
    case 'halt':
      return PAUSED[effect.reason];
    case 'ask':
    case 'mark':
    case 'detour':
    case 'play':
    case 'queue':
    case 'unqueue':
      return undefined;
  }
}

const moveWord = ({ move, by = 1 }: Extract<ClimbEffect, { kind: 'moved' }>): string =>
  move === 'dropped' ? 'Down' : by > 1 ? 'So well that it is two rungs: up' : 'Up';

const SAID: Readonly<Record<PassVerdict, string>> = {
  clean: 'Clean.',
  missed: 'Missed.',
  unjudged: 'Not judged.',
};

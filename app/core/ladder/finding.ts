// The search for a start tempo as a climb: which tempos it may play, and where a verdict takes it.
import type { Verdict } from '../model/pass.ts';
import { MAX_BPM, MIN_BPM, type Bpm } from '../base/units.ts';
import type { ClimbPass, ClimbState, LadderRules, Footholds } from './model.ts';
import type { Counted } from './footholds.ts';
import { beginFinder, type FinderState, judgeFinder } from './tempo-finder.ts';

/** Neighbouring tempos of the search: about what can be told apart (2.6 % at 60 bpm, mazurka.org.uk). */
const GRAIN = 1.025;
/** How far below the start and above the target the search may lead. */
const BELOW = 0.5;
const ABOVE = 1.25;

/** Every tempo the search may play, lowest first, the start and the target among them. */
export function findingGrid(rules: LadderRules): {
  readonly grid: readonly Bpm[];
  readonly startRung: number;
  readonly targetRung: number;
} {
  const low = Math.max(MIN_BPM, rules.start * BELOW);
  const high = Math.min(MAX_BPM, rules.target * ABOVE);
  const steps = Math.floor(Math.log(high / low) / Math.log(GRAIN));
  const found = new Set<Bpm>([rules.start, rules.target]);
  for (let k = 0; k <= steps; k++) found.add(Math.round(low * GRAIN ** k));
  const grid = [...found].filter((bpm) => bpm >= MIN_BPM).sort((a, b) => a - b);
  return { grid, startRung: grid.indexOf(rules.start), targetRung: grid.indexOf(rules.target) };
}

/** The search after every judged pass; `found` is set once it is over. */
export function finderOf(state: ClimbState): FinderState {
  return state.passes.reduce(
    (finder, p) => (tells(p) ? judgeFinder(finder, p.verdict, tempoOf(state, p)) : finder),
    beginFinder(state.rules.start),
  );
}

/** Where a verdict takes the search: to the rung nearest to the tempo it asks for, or to its end. */
export function find(state: ClimbState, pass: ClimbPass, verdict: Verdict): Counted {
  if (!tells({ ...pass, verdict })) return { footholds: state.footholds, effects: [] };
  const finder = judgeFinder(finderOf(state), verdict, tempoOf(state, pass));
  const from = state.footholds.lower.rung;
  const rung = nearest(state.rungs, finder.bpm);
  const lower = { rung, cleans: 0, misses: 0 };
  const footholds: Footholds = { ...state.footholds, lower, topped: finder.found !== null };
  if (footholds.topped || rung === from) return { footholds, effects: [] };
  const move = rung > from ? 'climbed' : 'dropped';
  return { footholds, effects: [{ kind: 'moved', move, side: 'lower', rung }] };
}

const tempoOf = (state: ClimbState, pass: ClimbPass): Bpm => state.rungs[pass.rung] as Bpm;

/** A miss during which the audio failed says nothing about the tempo. */
const tells = (pass: ClimbPass): pass is ClimbPass & { verdict: Verdict } =>
  pass.verdict === 'clean' || (pass.verdict === 'missed' && !pass.underrun);

function nearest(grid: readonly Bpm[], bpm: Bpm): number {
  const away = grid.map((rung) => Math.abs(rung - bpm));
  return away.indexOf(Math.min(...away));
}

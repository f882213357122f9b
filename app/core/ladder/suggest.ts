// A ladder to begin with for a unit: what the set-up screen shows before anyone has chosen anything.
import type { Unit } from '../model/unit.ts';
import { MIN_BPM, type Bpm, withinTempos } from '../base/units.ts';
import type { LadderRules } from './model.ts';

/** Where nothing is known yet, begin at this share of the target (common practice, no source). */
const FIRST_START = 0.6;
/** Begin this far under an owned tempo, so that the first rung is a warm-up (common practice, no source). */
const WARM_UP = 0.92;
/** As many steps as fit a short sitting (common practice, no source). */
const STEPS = 8;
/** A smaller change of tempo is hardly heard: 2.6 % at 60 bpm (mazurka.org.uk experiments page). */
const LEAST_STEP = 0.026;

/**
 * Rules that suit `unit`: from well under its tempo, or just under what is owned already, up to its
 * tempo, in even steps. `ownedTempo` counts the unit's own beat. Always valid input for `rungs`.
 */
export function suggestRules(unit: Unit, ownedTempo?: Bpm): LadderRules {
  const target = withinTempos(unit.tempo.bpm);
  const wished = ownedTempo === undefined ? FIRST_START * target : WARM_UP * ownedTempo;
  const way = Math.max(0, target - withinTempos(wished));
  const by = Math.min(50, Math.max(1, Math.round(way / STEPS), Math.ceil(LEAST_STEP * wished)));
  const start = withinTempos(target - by * Math.round(way / by));
  return {
    start,
    target,
    beat: unit.tempo.beat,
    step: { kind: 'bpm', by },
    route: start === target ? 'at-target' : 'straight',
    above: 0,
    cleanToClimb: 2,
    missedToDrop: 2,
    drop: 'one-rung',
    longestOnRung: 8,
    maxPasses: 0,
    maxMinutes: 10,
    restBars: unit.bars.length > 2 ? 1 : 2,
  };
}

/**
 * The same ladder begun just under what is owned, in whole steps of its own, and never above the rung
 * under its target. Only a ladder straight up has a start to move. Always valid input for `rungs` where
 * `rules` are.
 */
export function begunUnder(rules: LadderRules, ownedTempo: Bpm | undefined): LadderRules {
  const { start, target, step, route } = rules;
  if (ownedTempo === undefined || route !== 'straight' || start >= target) return rules;
  const wished = Math.max(MIN_BPM, WARM_UP * ownedTempo);
  const ratio = step.kind === 'percent' ? 1 + step.by / 100 : 1;
  const stepsTo = (bpm: Bpm): number =>
    step.kind === 'bpm' ? (bpm - start) / step.by : Math.log(bpm / start) / Math.log(ratio);
  const most = Math.max(0, Math.ceil(stepsTo(target) - 1e-9) - 1);
  const steps = Math.min(most, Math.floor(stepsTo(wished) + 1e-9));
  const moved = step.kind === 'bpm' ? start + steps * step.by : Math.round(start * ratio ** steps);
  return { ...rules, start: Math.max(MIN_BPM, Math.min(moved, target)) };
}

/** A start under this share of what is owned has been outgrown (ours, no source). */
const OUTGROWN = 0.75;

/** A ladder that was kept: its start stands until it is outgrown. */
export const keptLadder = (rules: LadderRules, ownedTempo: Bpm | undefined): LadderRules =>
  ownedTempo !== undefined && rules.start < OUTGROWN * ownedTempo
    ? begunUnder(rules, ownedTempo)
    : rules;

/** A first little ladder is climbed in minutes, so that it can be won (ours, no source). */
const FIRST_LITTLE = 0.75;
const FIRST_STEPS = 3;

/** The first ladder of all: three steps, one clean pass each. Always valid input for `rungs`. */
export function firstLadder(unit: Unit): LadderRules {
  const target = withinTempos(unit.tempo.bpm);
  const start = withinTempos(Math.round(FIRST_LITTLE * target));
  const by = Math.max(1, Math.round((target - start) / FIRST_STEPS));
  return {
    ...suggestRules(unit),
    ...{ start: withinTempos(target - by * FIRST_STEPS), step: { kind: 'bpm', by } },
    ...{ route: 'straight', cleanToClimb: 1, missedToDrop: 2, restBars: 1 },
  };
}

/** The unit's own tempo at so many per cent, in whole bpm. */
export const tempoAt = ({ tempo }: Unit, percent: number): Bpm =>
  withinTempos(Math.round((tempo.bpm * percent) / 100));

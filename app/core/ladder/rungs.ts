// From the rules of a ladder to its rungs, lowest first, or the sentence that says why there are none.
import { fail, ok, type Problem, type Result } from '../base/result.ts';
import { MAX_BPM, MIN_BPM, type Bpm } from '../base/units.ts';
import type { LadderRules, Step } from './model.ts';

/** More rungs than anyone climbs; a larger step gives the same ladder in fewer. */
const MAX_RUNGS = 200;

/** The whole numbers of the rules, and what a screen calls them. */
const COUNTS = [
  ['above', 0, 5, 'rungs above the target'],
  ['cleanToClimb', 1, 10, 'clean passes to climb'],
  ['missedToDrop', 1, 10, 'missed passes to drop'],
  ['longestOnRung', 0, 100, 'longest time on a rung'],
  ['maxPasses', 0, 1000, 'limit on passes'],
  ['maxMinutes', 0, 240, 'limit on minutes'],
  ['restBars', 0, 4, 'rest bars'],
] as const satisfies readonly (readonly [keyof LadderRules, number, number, string])[];

/**
 * The rungs from start to target (exactly, as the last of them), then `above` rungs by the step.
 * The last step to the target is never under half of the others: a rest that would be is spread over
 * them all. Whole bpm for percent steps; strictly rising. Fails with one problem per rule that is out
 * of range.
 */
export function rungs(rules: LadderRules): Result<readonly Bpm[]> {
  const problems = checkRules(rules);
  if (problems.length > 0) return fail(...problems);
  const up = between(rules.start, rules.target, rules.step);
  const all = [...up, ...over(rules.target, rules.above, rules.step)];
  if (all.length > MAX_RUNGS) return fail(TOO_MANY);
  const top = all[all.length - 1] as Bpm;
  return top > MAX_BPM ? fail(tooHigh(top)) : ok(all);
}

/** Every rule that is out of range, each with its place and its cure. */
export function checkRules(rules: LadderRules): readonly Problem[] {
  const tempos = [
    ...checkTempo('start', rules.start),
    ...checkTempo('target', rules.target),
    ...checkStep(rules.step),
  ];
  const counts = COUNTS.flatMap(([key, low, high, name]) =>
    checkCount(name, rules[key], low, high),
  );
  if (tempos.length === 0 && rules.start > rules.target) tempos.push(startAbove(rules));
  return [...tempos, ...counts];
}

/** Rungs start, start + step … up to and including the target; spread evenly where the last step would be a stub. */
function between(start: Bpm, target: Bpm, step: Step): Bpm[] {
  const chosen = byStep(start, target, step);
  if (chosen.length > MAX_RUNGS || isEven(chosen, step)) return chosen;
  for (let steps = chosen.length - 2; steps > 1; steps--) {
    const spread = spreadOut(start, target, steps, step);
    if (isEven(spread, step)) return spread;
  }
  return [start, target];
}

function byStep(start: Bpm, target: Bpm, step: Step): Bpm[] {
  const found: Bpm[] = [];
  for (let k = 0; found.length <= MAX_RUNGS; k++) {
    const bpm = k === 0 ? start : stepped(start, k, step);
    if (bpm >= target) break;
    if (bpm > (found.at(-1) ?? 0)) found.push(bpm);
  }
  return [...found, target];
}

/** So many equal steps, of bpm or of percent as the rule says. */
function spreadOut(start: Bpm, target: Bpm, steps: number, step: Step): Bpm[] {
  const grain = step.kind === 'percent' || (Number.isInteger(start) && Number.isInteger(step.by));
  const rounded = (bpm: Bpm): Bpm => (grain ? Math.round(bpm) : Math.round(bpm * 100) / 100);
  const inner = Array.from({ length: steps - 1 }, (_, i) => {
    const share = (i + 1) / steps;
    return rounded(
      step.kind === 'bpm' ? start + (target - start) * share : start * (target / start) ** share,
    );
  });
  return [...new Set([start, ...inner, target])];
}

/** Is the last step at least half of every other one in bpm, and percent steps of the one before in proportion? */
function isEven(found: readonly Bpm[], { kind }: Step): boolean {
  if (found.length < 3) return true;
  const last = found.length - 1;
  const inBpm = (i: number): number => found[i]! - found[i - 1]!;
  const inOctaves = (i: number): number => Math.log2(found[i]! / found[i - 1]!);
  let largest = 0;
  for (let i = 1; i < last; i++) largest = Math.max(largest, inBpm(i));
  if (inBpm(last) < largest / 2 - 1e-9) return false;
  return kind === 'bpm' || inOctaves(last) >= inOctaves(last - 1) / 2 - 1e-9;
}

/** `count` rungs above `target`; a step too small to reach the next whole bpm is stretched to it. */
function over(target: Bpm, count: number, step: Step): Bpm[] {
  const found: Bpm[] = [];
  for (let k = 1; found.length < count; k++) {
    const bpm = stepped(target, k, step);
    if (bpm > (found.at(-1) ?? target)) found.push(bpm);
  }
  return found;
}

/** The k-th rung from `from`: computed from there each time, so that rounding never adds up. */
function stepped(from: Bpm, k: number, step: Step): Bpm {
  if (step.kind === 'bpm') return Math.round((from + k * step.by) * 100) / 100;
  return Math.round(from * (1 + step.by / 100) ** k);
}

function checkTempo(name: 'start' | 'target', bpm: Bpm): Problem[] {
  if (bpm >= MIN_BPM && bpm <= MAX_BPM) return [];
  return [
    {
      code: `${name}-out-of-range`,
      message: `The ${name} tempo is ${shown(bpm)}; this program plays ${MIN_BPM} to ${MAX_BPM} bpm.`,
      cure: `Choose a ${name} tempo from ${MIN_BPM} to ${MAX_BPM}.`,
    },
  ];
}

/** Below 0.5 of either kind no step can be heard; above 50 a ladder has no rungs to speak of. */
function checkStep(step: Step): Problem[] {
  if (step.by >= 0.5 && step.by <= 50) return [];
  const unit = step.kind === 'bpm' ? 'bpm' : '%';
  return [
    {
      code: 'step-out-of-range',
      message: `The step is ${shown(step.by)} ${unit}; it can be 0.5 to 50 ${unit}.`,
      cure: 'Choose a step from 0.5 to 50.',
    },
  ];
}

function checkCount(name: string, value: number, low: number, high: number): Problem[] {
  if (Number.isInteger(value) && value >= low && value <= high) return [];
  return [
    {
      code: `${name.replaceAll(' ', '-')}-out-of-range`,
      message: `“${name}” is ${shown(value)}; it can be ${low} to ${high}.`,
      cure: `Choose a whole number from ${low} to ${high}.`,
    },
  ];
}

const shown = (value: number): string => (Number.isFinite(value) ? String(value) : 'not a number');

const startAbove = (rules: LadderRules): Problem => ({
  code: 'start-above-target',
  message: `The ladder starts at ${rules.start} bpm, above its target of ${rules.target} bpm.`,
  cure: 'Lower the start or raise the target.',
});

const TOO_MANY: Problem = {
  code: 'too-many-rungs',
  message: `This step makes over ${MAX_RUNGS} rungs, the most that a ladder can have.`,
  cure: 'Choose a larger step.',
};

const tooHigh = (top: Bpm): Problem => ({
  code: 'above-out-of-range',
  message: `The rungs above the target reach ${top} bpm; this program plays at most ${MAX_BPM} bpm.`,
  cure: 'Choose fewer rungs above the target, or a smaller step.',
});

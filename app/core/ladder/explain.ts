// Each rule of a ladder in one sentence, for the set-up screen.
import type { LadderRules, Route } from './model.ts';
import { rungs } from './rungs.ts';

/** Start and target share a sentence; the beat unit needs none. */
export type ExplainedRule = Exclude<keyof LadderRules, 'beat' | 'start' | 'target'> | 'tempos';

/** No route is claimed to be best: Henley 2001 (JRME 49) found no significant difference between them. */
const ROUTES: Readonly<Record<Route, string>> = {
  straight: 'You climb rung by rung from the start to the target.',
  leap: 'Passes alternate between a tempo that is yours and the target.',
  'at-target': 'Every pass is at the target tempo.',
};

const DROPS: Readonly<Record<LadderRules['drop'], string>> = {
  'one-rung': 'Slower means one rung down.',
  'half-way': 'Slower means half-way back to the last rung that is yours.',
};

/** One sentence per rule, keyed by the rule, in the order in which a screen asks for them. */
export function explain(rules: LadderRules): Readonly<Record<ExplainedRule, string>> {
  return {
    tempos:
      rules.route === 'at-target'
        ? `Every pass is at ${rules.target} bpm; a miss leads below it.`
        : `The ladder goes from ${rules.start} to ${rules.target} bpm.`,
    route: ROUTES[rules.route],
    step: rules.route === 'at-target' ? '' : explainStep(rules),
    above: explainAbove(rules.above),
    cleanToClimb:
      rules.route === 'at-target' && rules.above === 0
        ? `${cleanInARow(rules.cleanToClimb)} you to the flag.`
        : `${cleanInARow(rules.cleanToClimb)} you up.`,
    missedToDrop: explainMissed(rules.missedToDrop),
    drop: DROPS[rules.drop],
    longestOnRung: explainLongest(rules.longestOnRung),
    maxPasses: explainLimit(rules.maxPasses, 'pass', 'passes'),
    maxMinutes: explainLimit(rules.maxMinutes, 'minute', 'minutes'),
    restBars: explainRest(rules.restBars),
  };
}

function explainStep(rules: LadderRules): string {
  const { step, start, target } = rules;
  const found = rungs({ ...rules, above: 0 });
  const steps = found.ok ? found.value.slice(1).map((bpm, i) => bpm - found.value[i]!) : [];
  const usual = step.kind === 'bpm' ? step.by : start * (step.by / 100);
  const isSpread = steps.length > 0 && steps[0]! > usual + 1 && target > start;
  const size = step.kind === 'bpm' ? `${step.by} bpm` : `${step.by} %`;
  if (isSpread) {
    return `Steps of ${size} would leave a stub at the top, so the rungs are spread evenly, about ${Math.round(steps[0]!)} bpm apart.`;
  }
  return step.kind === 'bpm'
    ? `Each rung is ${size} above the one before${isShorter(steps, step.by) ? `; the last step is ${shown(steps.at(-1)!)}` : ''}.`
    : `Each rung is ${size} above the one before, in whole bpm.`;
}

const isShorter = (steps: readonly number[], by: number): boolean =>
  steps.length > 0 && steps.at(-1)! < by - 1e-9;
const shown = (bpm: number): string => String(Math.round(bpm * 100) / 100);

function explainAbove(above: number): string {
  if (above === 0) return 'The target is the highest rung.';
  return `The ladder goes on for ${above} ${above === 1 ? 'rung' : 'rungs'} above the target.`;
}

function cleanInARow(count: number): string {
  return count === 1 ? 'One clean pass takes' : `${count} clean passes in a row take`;
}

function explainMissed(count: number): string {
  const passes = count === 1 ? 'one missed pass' : `${count} missed passes in a row`;
  return `After ${passes} you are offered a slower rung, or a drill where it broke.`;
}

function explainLongest(passes: number): string {
  if (passes === 0) return 'You may stay on a rung as long as you like.';
  return `After ${passes} ${passes === 1 ? 'pass' : 'passes'} on one rung without climbing, stopping for now is suggested.`;
}

function explainLimit(limit: number, one: string, many: string): string {
  if (limit === 0) return `There is no limit on ${many}.`;
  const after = `The climb ends after ${limit} ${limit === 1 ? one : many}`;
  return one === 'minute' ? `${after}, never inside a pass.` : `${after}.`;
}

function explainRest(bars: number): string {
  if (bars === 0) return 'You play on without a rest, and a verdict takes effect one pass later.';
  return `${bars} ${bars === 1 ? 'bar' : 'bars'} of rest after each pass ${bars === 1 ? 'is' : 'are'} for your hands and your verdict.`;
}

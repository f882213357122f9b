// The ear's figures over one half of the test set, and each as text by timbre and level.
import type { Seconds } from '../../../app/core/base/units.ts';
import { quantile } from '../bench.ts';
import { aubioOnsets } from './aubio.ts';
import { type OnsetScore, fMeasure, matchOnsets } from './onset-score.ts';
import type { TakePlan } from './plan.ts';
import { type ScoredTake, confusion, scoreTake, tally } from './score.ts';
import { takesOf } from './set.ts';

const known = new Map<TakePlan['half'], readonly ScoredTake[]>();

/** All takes of a half, rendered and listened to once per run. */
export function scored(half: TakePlan['half']): readonly ScoredTake[] {
  let takes = known.get(half);
  if (!takes) known.set(half, (takes = takesOf(half).map(scoreTake)));
  return takes;
}

const truths = ({ plan }: ScoredTake): Seconds[] => plan.strokes.map((s) => s.at);

export const onsetScores = (takes: readonly ScoredTake[], window: Seconds): OnsetScore[] =>
  takes.map((take) => matchOnsets(truths(take), take.onsets, window));

export const blindScores = (takes: readonly ScoredTake[], window: Seconds): OnsetScore[] =>
  takes.map((take) => matchOnsets(truths(take), take.blindOnsets, window));

const aubioKnown = new Map<string, Seconds[]>();

/** The peer's onsets, all moved by `shift`. */
export const aubioScores = (
  takes: readonly ScoredTake[],
  window: Seconds,
  shift: Seconds = 0,
): OnsetScore[] =>
  takes.map((take) => {
    const found = aubioKnown.get(take.wav) ?? aubioOnsets(take.wav);
    aubioKnown.set(take.wav, found);
    return matchOnsets(
      truths(take),
      found.map((at) => at + shift),
      window,
    );
  });

/** Median of found less true over all matched pairs: taken off the peer, as F values must not hang on it (Mounir et al. 2019). */
export const biasOf = (scores: readonly OnsetScore[]): Seconds =>
  quantile(
    scores.flatMap((s) => s.errors),
    0.5,
  );

export const costOf = (takes: readonly ScoredTake[]): number =>
  takes.reduce((sum, t) => sum + t.cost, 0) / takes.reduce((sum, t) => sum + t.plan.length, 0);

/** One line of figures for some takes. */
export function lineOf(name: string, takes: readonly ScoredTake[]): string {
  const t = tally(takes.flatMap((take) => take.changes));
  const sizes = t.offsets.map(Math.abs);
  const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
  return [
    name.padEnd(12),
    `${t.changes} changes`,
    `right accepted ${percent(t.accepted)}`,
    `wrong caught ${percent(t.caught)}`,
    `lost string caught ${percent(t.lostCaught)}`,
    `can’t tell ${percent(t.unsure)}`,
    `timing median ${quantile(sizes, 0.5).toFixed(1)} ms, p95 ${quantile(sizes, 0.95).toFixed(1)} ms`,
    `bias ${quantile(t.offsets, 0.5).toFixed(1)} ms`,
    `F50 ${fMeasure(onsetScores(takes, 0.05)).toFixed(3)}`,
    `F25 ${fMeasure(onsetScores(takes, 0.025)).toFixed(3)}`,
    `without the chart F50 ${fMeasure(blindScores(takes, 0.05)).toFixed(3)}`,
    `aubio F50 ${fMeasure(aubioScores(takes, 0.05)).toFixed(3)}`,
  ].join(' · ');
}

/** Everything, by timbre and level, with the table of what was taken for what. */
export function report(half: TakePlan['half']): string {
  const takes = scored(half);
  const by = (pick: (plan: TakePlan) => string) =>
    [...new Set(takes.map((t) => pick(t.plan)))].map((name) =>
      lineOf(
        name,
        takes.filter((t) => pick(t.plan) === name),
      ),
    );
  return [
    lineOf(half, takes),
    ...by((plan) => plan.timbre),
    ...by((plan) => plan.level),
    ...by((plan) => (plan.shapesKnown ? 'shapes' : 'symbols')),
    '',
    confusion(takes.flatMap((t) => t.changes)),
  ].join('\n');
}

// The ear's figures over one part of its set, with intervals, by guitar and room, and as text.
import type { Seconds } from '../../../app/core/base/units.ts';
import { findStart } from '../../../app/core/ear/find-start.ts';
import { soundFrames } from '../../../app/core/ear/frames.ts';
import { resampled } from '../../../app/core/ear/rate.ts';
import { quantile } from '../bench.ts';
import { aubioOnsets } from './aubio.ts';
import { BANK_RATE } from './bank.ts';
import { counted, type Counted } from './counted.ts';
import { earlierEar } from './earlier.ts';
import type { Deed, Part } from './plan.ts';
import {
  confusion,
  expectationOfPlan,
  isRight,
  judgedPass,
  lateness,
  offsetErrors,
  saysRight,
  saysWrong,
  type ScoredChange,
  type ScoredTake,
  scoreTake,
} from './score.ts';
import { readTake, type Take, takesOf } from './set.ts';

const known = new Map<Part, readonly ScoredTake[]>();

/** All takes of a part, rendered and listened to once per run. */
export function scored(part: Part): readonly ScoredTake[] {
  let takes = known.get(part);
  if (!takes) known.set(part, (takes = takesOf(part).map((take) => scoreTake(take))));
  return takes;
}

let before: readonly ScoredTake[] | undefined;

/** The same takes of the test part heard by the earlier ear. */
export async function scoredBefore(): Promise<readonly ScoredTake[]> {
  const hearing = await earlierEar();
  return (before ??= takesOf('test').map((take) => scoreTake(take, hearing)));
}

export const changesOf = (takes: readonly ScoredTake[]): readonly ScoredChange[] =>
  takes.flatMap((take) => take.changes);

const count = (all: readonly ScoredChange[], test: (change: ScoredChange) => boolean): Counted =>
  counted(all.filter(test).length, all.length);

export const accepted = (all: readonly ScoredChange[]): Counted =>
  count(all.filter(isRight), saysRight);

/** Told to be anything but right or unsure. */
export const caught = (all: readonly ScoredChange[], deeds?: readonly Deed[]): Counted =>
  count(
    all.filter((c) => !isRight(c) && (deeds === undefined || deeds.includes(c.truth.deed))),
    saysWrong,
  );

/** Of right chords at least 60 ms late: told late. */
export const lateTold = (all: readonly ScoredChange[]): Counted =>
  count(
    all.filter((c) => isRight(c) && (lateness(c) ?? 0) >= 0.06),
    ({ heard }) => heard.timing === 'late',
  );

export const unsure = (all: readonly ScoredChange[]): Counted =>
  count(all, ({ heard }) => heard.chord === 'unsure' || heard.timing === 'unsure');

export const costOf = (takes: readonly ScoredTake[]): number =>
  takes.reduce((sum, t) => sum + t.cost, 0) / takes.reduce((sum, t) => sum + t.plan.length, 0);

/** Passes called what they truly were, of those that were truly so, beyond 5 ms of doubt. */
export function passesTold(takes: readonly ScoredTake[], truth: 'clean' | 'missed'): Counted {
  const passes = takes.map(judgedPass).filter((pass) => pass.clear && pass.truth === truth);
  return counted(passes.filter(({ verdict }) => verdict === truth).length, passes.length);
}

export interface StartsFound {
  readonly wrong: Counted;
  /** Of the wrong ones: said to be doubtful. */
  readonly saidSo: Counted;
  readonly doubted: Counted;
}

/** Every take once more, its start unknown; wrong is more than 60 ms beside. */
export function startsFound(takes: readonly Take[]): StartsFound {
  const found = takes.map(({ plan, wav }) => {
    const sound = resampled(readTake(wav), BANK_RATE);
    const frames = soundFrames();
    frames.advance(sound, sound.length);
    const start = findStart(expectationOfPlan(plan, -plan.start), frames, plan.length);
    const off = Math.abs((start?.start ?? Infinity) - plan.start);
    return { wrong: off > 0.06, doubtful: start?.doubtful ?? true };
  });
  const wrong = found.filter((f) => f.wrong);
  return {
    wrong: counted(wrong.length, found.length),
    saidSo: counted(wrong.filter((f) => f.doubtful).length, wrong.length),
    doubted: counted(found.filter((f) => f.doubtful).length, found.length),
  };
}

const aubioKnown = new Map<string, Seconds[]>();

/** The peer's moment of each struck change: its nearest onset within 100 ms, less the true one, in ms; and how many it found. */
export function aubioErrors(takes: readonly ScoredTake[]) {
  const struck = takes.flatMap(({ wav, changes }) => {
    const onsets = aubioKnown.get(wav) ?? aubioOnsets(wav);
    aubioKnown.set(wav, onsets);
    return changes.flatMap(({ truth: { played } }) => {
      if (played === null) return [];
      const off = onsets.map((at) => at - played).toSorted((a, b) => Math.abs(a) - Math.abs(b))[0];
      return [off === undefined || Math.abs(off) > 0.1 ? null : 1000 * off];
    });
  });
  const errors = struck.flatMap((error) => error ?? []);
  return { errors, found: counted(errors.length, struck.length) };
}

/** Cells of guitar × room × deed with at least one fault, worst first. */
export function worstCells(all: readonly ScoredChange[], most = 10): string[] {
  const cells = Map.groupBy(all, ({ plan, truth }) =>
    [plan.timbre, plan.level, truth.deed].join(' × '),
  );
  return [...cells]
    .map(([name, of]) => {
      const good = of.filter((c) => (isRight(c) ? saysRight(c) : saysWrong(c))).length;
      return { name, good, of: of.length };
    })
    .filter(({ good, of }) => good < of)
    .toSorted((a, b) => a.good / a.of - b.good / b.of || b.of - a.of)
    .slice(0, most)
    .map(({ name, good, of }) => `${name}: ${good} of ${of}`);
}

/** What was taken for what: each deed with how often it was told which way, most often first. */
export function confusionWords(all: readonly ScoredChange[]): string {
  const told = (of: readonly ScoredChange[]): string =>
    [...Map.groupBy(of, ({ heard }) => heard.chord)]
      .toSorted(([, a], [, b]) => b.length - a.length)
      .map(([chord, times]) => `${chord} ${times.length}`)
      .join(', ');
  return [...Map.groupBy(all, ({ truth }) => truth.deed)]
    .map(([deed, of]) => `${deed} → ${told(of)}`)
    .join('; ');
}

/** One line of figures for some takes. */
export function lineOf(name: string, takes: readonly ScoredTake[]): string {
  const all = changesOf(takes);
  const errors = offsetErrors(all);
  const sizes = errors.map(Math.abs);
  return [
    name.padEnd(12),
    `${all.length} changes`,
    `right accepted ${accepted(all).words}`,
    `wrong caught ${caught(all).words}`,
    `can’t tell ${unsure(all).words}`,
    `late told ${lateTold(all).words}`,
    `moment: median ${quantile(sizes, 0.5).toFixed(1)}, p95 ${quantile(sizes, 0.95).toFixed(1)}, bias ${quantile(errors, 0.5).toFixed(1)} ms`,
  ].join(' · ');
}

/** Everything, by guitar and room, with the table of what was taken for what. */
export function report(part: Part): string {
  const takes = scored(part);
  const all = changesOf(takes);
  const by = (pick: (take: ScoredTake) => string) =>
    [...new Set(takes.map(pick))].map((name) =>
      lineOf(
        name,
        takes.filter((t) => pick(t) === name),
      ),
    );
  const deeds = [...new Set(all.map((c) => c.truth.deed))].filter((deed) => deed !== 'right');
  const starts = startsFound(takes);
  return [
    lineOf(part, takes),
    ...by(({ plan }) => plan.timbre),
    ...by(({ plan }) => plan.level),
    ...by(({ plan }) => (plan.shapesKnown ? 'shapes' : 'symbols')),
    ...deeds.map((deed) => `${deed}: caught ${caught(all, [deed]).words}`),
    `clean passes called clean ${passesTold(takes, 'clean').words}`,
    `missed passes called missed ${passesTold(takes, 'missed').words}`,
    `starts wrong ${starts.wrong.words}; of these said to be doubtful ${starts.saidSo.words}; doubted at all ${starts.doubted.words}`,
    `cost ${(100 * costOf(takes)).toFixed(2)} % of one core`,
    '',
    ...worstCells(all),
    '',
    confusion(all),
  ].join('\n');
}

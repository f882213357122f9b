// Lets the ear listen to takes as it would listen live, and lays what it said beside the truth.
import { type Listener, listen } from '../../../app/core/ear/listener.ts';
import type { Expectation, ExpectedChord } from '../../../app/core/ear/model.ts';
import type { Network } from '../../../app/core/ear/network/network.ts';
import { passVerdict, USUAL_RULE, holds } from '../../../app/core/ear/verdict.ts';
import type { ChangeHeard } from '../../../app/core/model/pass.ts';
import type { Midi, Milliseconds, Seconds, StringNo } from '../../../app/core/base/units.ts';
import { NETWORK } from '../../support/network.ts';
import { BANK_RATE } from './bank.ts';
import type { Deed, TakePlan } from './plan.ts';
import { type Take, readTake } from './set.ts';
import { pitchClasses, type SetShape } from './shapes.ts';

/** What every plan of every set tells of a take. */
export interface PlannedTake {
  readonly id: string;
  readonly timbre: string;
  readonly level: string;
  readonly shapesKnown: boolean;
  readonly length: Seconds;
  readonly changes: readonly PlannedChange[];
}

export interface PlannedChange {
  readonly due: Seconds;
  /** When its first string began; null where nothing was struck. */
  readonly played: Seconds | null;
  readonly until: Seconds;
  readonly deed: Deed;
  readonly to: { readonly strings: readonly (Midi | null)[] };
  /** Strings that were dead or half pressed, or that sounded too many; where a plan tells. */
  readonly atFault?: readonly StringNo[];
}

export interface ScoredChange {
  readonly plan: PlannedTake;
  readonly truth: PlannedChange;
  readonly heard: ChangeHeard;
  /** From the end of the change's window to its verdict: sound waited for, and the time to compute. */
  readonly delay: Seconds;
}

export interface ScoredTake {
  readonly plan: PlannedTake;
  readonly beat: Seconds;
  readonly changes: readonly ScoredChange[];
  /** Processor time for the whole take. */
  readonly cost: Seconds;
}

/** Anything that hears changes as sound comes. */
export type Hearing = Pick<Listener, 'push' | 'finish'>;

/** What a block of the microphone holds. */
const BLOCK = 1024;

export const scoreTake = ({ plan, wav }: Take, hearing?: Ear): ScoredTake =>
  scoreSound(plan, readTake(wav), expectationOfPlan(plan), hearing);

export type Ear = (expectation: Expectation) => Hearing;
export const earWith =
  (network: Network): Ear =>
  (expectation) =>
    listen(expectation, BANK_RATE, network);
const PRESENT = earWith(NETWORK);

/** @param samples At {@link BANK_RATE}, one channel. */
export function scoreSound(
  plan: PlannedTake,
  samples: Float32Array,
  expectation: Expectation,
  hearing: Ear = PRESENT,
): ScoredTake {
  const listener = hearing(expectation);
  const changes: ScoredChange[] = [];
  let cost = 0;
  const step = (work: (l: Hearing) => ChangeHeard[], at: Seconds): void => {
    const began = process.threadCpuUsage();
    const judged = work(listener);
    const { user, system } = process.threadCpuUsage(began);
    const took = (user + system) / 1e6;
    cost += took;
    for (const heard of judged) {
      const truth = plan.changes[changes.length]!;
      changes.push({ plan, truth, heard, delay: at - truth.until + took });
    }
  };
  for (let from = 0; from < samples.length; from += BLOCK) {
    const block = samples.subarray(from, from + BLOCK);
    step((l) => l.push(block), (from + block.length) / BANK_RATE);
  }
  step((l) => l.finish(), samples.length / BANK_RATE);
  return { plan, beat: expectation.beat, changes, cost };
}

/** What the chart would tell the ear: shapes only where the plan says that they are known. */
function expectationOfPlan(plan: TakePlan): Expectation {
  const chord = (shape: SetShape): ExpectedChord => ({
    symbol: shape.symbol,
    root: shape.root,
    pitchClasses: pitchClasses(shape.strings),
    lift: 0,
    ...(plan.shapesKnown && { strings: shape.strings }),
  });
  return {
    changes: plan.changes.map((c, change) => ({
      bar: c.bar,
      change,
      due: c.due,
      until: c.until,
      from: c.from && chord(c.from),
      to: chord(c.to),
      names: { from: c.from?.symbol ?? '', to: c.to.symbol },
      struck: true,
      sounds: true,
    })),
    strokes: plan.dueStrokes.map((s) => ({ ...s, muted: false })),
    clicks: plan.clicks,
    beat: 60 / plan.bpm,
  };
}

export const saysRight = ({ heard }: ScoredChange): boolean => heard.chord === 'right';
export const saysWrong = ({ heard }: ScoredChange): boolean =>
  heard.chord !== 'right' && heard.chord !== 'unsure';
export const isRight = ({ truth }: ScoredChange): boolean => truth.deed === 'right';

/** True lateness of a change that was struck. */
export const lateness = ({ truth }: ScoredChange): Seconds | null =>
  truth.played === null ? null : truth.played - truth.due;

/** Heard less true, of every change that was struck and told. */
export const offsetErrors = (all: readonly ScoredChange[]): Milliseconds[] =>
  all.flatMap((change) => {
    const late = lateness(change);
    const { offset } = change.heard;
    return late === null || offset === undefined ? [] : [offset - 1000 * late];
  });

export interface JudgedPass {
  /** By the same rule, if nothing but the truth had been heard. */
  readonly truth: 'clean' | 'missed';
  readonly verdict: 'clean' | 'missed' | null;
  /** Near the rule's edge the truth itself hangs on a few milliseconds. */
  readonly clear: boolean;
}

export function judgedPass({ beat, changes }: ScoredTake): JudgedPass {
  const held = (off: Milliseconds): number =>
    changes.filter((change) => {
      const late = lateness(change);
      const offset = late === null ? 0 : Math.abs(1000 * late) + off;
      const asTrue = { ...change.heard, chord: 'right' as const, offset };
      return isRight(change) && holds(asTrue, USUAL_RULE, beat);
    }).length;
  const isClean = (count: number): boolean => count >= USUAL_RULE.share * changes.length - 1e-9;
  const { verdict } = passVerdict(
    changes.map((c) => c.heard),
    USUAL_RULE,
    beat,
  );
  return {
    truth: isClean(held(0)) ? 'clean' : 'missed',
    verdict,
    clear: isClean(held(-5)) === isClean(held(5)),
  };
}

/** Rows: what was played; columns: what the ear said. */
export function confusion(all: readonly ScoredChange[]): string {
  const columns = ['right', 'held', 'other', 'muted', 'silent', 'unsure'] as const;
  const deeds = [...new Set(all.map((c) => c.truth.deed))].toSorted();
  const line = (cells: readonly (string | number)[]) =>
    cells.map((cell, i) => (i === 0 ? String(cell).padEnd(16) : String(cell).padStart(7))).join('');
  const rows = deeds.map((deed) => {
    const of = all.filter((c) => c.truth.deed === deed);
    return line([
      deed,
      ...columns.map((chord) => of.filter((c) => c.heard.chord === chord).length),
    ]);
  });
  return [line(['played \\ heard', ...columns]), ...rows].join('\n');
}

// Lets the ear listen to takes of the test set as it would listen live, and lays what it said beside the truth.
import { type Listener, listen } from '../../../app/core/ear/listener.ts';
import type { Expectation, ExpectedChord } from '../../../app/core/ear/model.ts';
import { strokesOfPass } from '../../../app/core/ear/strokes.ts';
import type { ChangeHeard } from '../../../app/core/model/pass.ts';
import type { Milliseconds, Seconds, Share } from '../../../app/core/base/units.ts';
import { BANK_RATE } from './bank.ts';
import type { TakePlan, TrueChange } from './plan.ts';
import { type Take, readTake } from './set.ts';
import { pitchClasses, type SetShape } from './shapes.ts';

export interface ScoredChange {
  readonly plan: TakePlan;
  readonly truth: TrueChange;
  readonly heard: ChangeHeard;
  /** From the end of the change's window to its verdict: sound waited for, and the time to compute. */
  readonly delay: Seconds;
}

export interface ScoredTake {
  readonly plan: TakePlan;
  readonly wav: string;
  readonly changes: readonly ScoredChange[];
  /** Strokes of the pass, with the help of the chart. */
  readonly onsets: readonly Seconds[];
  /** Every clear onset in the recording, the chart unknown: what the peer is asked, too. */
  readonly blindOnsets: readonly Seconds[];
  /** Computing time for the whole take. */
  readonly cost: Seconds;
}

/** What a block of the microphone holds. */
const BLOCK = 1024;

export function scoreTake({ plan, wav }: Take): ScoredTake {
  const samples = readTake(wav);
  const expectation = expectationOfPlan(plan);
  const listener = listen(expectation, BANK_RATE);
  const changes: ScoredChange[] = [];
  let cost = 0;
  const step = (work: (l: Listener) => ChangeHeard[], at: Seconds): void => {
    const began = performance.now();
    const judged = work(listener);
    const took = (performance.now() - began) / 1000;
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
  const { onsets: heard } = listener;
  const onsets = strokesOfPass(heard, expectation).map((o) => o.at);
  const blindOnsets = heard.filter((o) => o.strength >= 1).map((o) => o.at);
  return { plan, wav, changes, onsets, blindOnsets, cost };
}

/** What the chart would tell the ear: shapes only where the plan says that they are known. */
export function expectationOfPlan(plan: TakePlan): Expectation {
  const chord = (shape: SetShape): ExpectedChord => ({
    symbol: shape.symbol,
    root: shape.root,
    pitchClasses: pitchClasses(shape.strings),
    capo: 0,
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

export interface Tally {
  readonly changes: number;
  /** Of the changes played right: told right. */
  readonly accepted: Share;
  /** Of the wrong ones, told to be anything but right or unsure; a single lost string counted apart. */
  readonly caught: Share;
  readonly lostCaught: Share;
  /** Both together. */
  readonly anyCaught: Share;
  readonly unsure: Share;
  /** Heard less true, of every change that was played and told. */
  readonly offsets: readonly Milliseconds[];
}

export function tally(all: readonly ScoredChange[]): Tally {
  const share = (of: readonly ScoredChange[], test: (c: ScoredChange) => boolean) =>
    of.length === 0 ? 1 : of.filter(test).length / of.length;
  const isWrong = ({ heard }: ScoredChange) => heard.chord !== 'right' && heard.chord !== 'unsure';
  const wrong = all.filter((c) => c.truth.deed !== 'right' && c.truth.deed !== 'tone-lost');
  return {
    changes: all.length,
    accepted: share(
      all.filter((c) => c.truth.deed === 'right'),
      (c) => c.heard.chord === 'right',
    ),
    caught: share(wrong, isWrong),
    lostCaught: share(
      all.filter((c) => c.truth.deed === 'tone-lost'),
      isWrong,
    ),
    anyCaught: share(
      all.filter((c) => c.truth.deed !== 'right'),
      isWrong,
    ),
    unsure: share(all, (c) => c.heard.chord === 'unsure' || c.heard.timing === 'unsure'),
    offsets: all.flatMap(({ truth, heard }) =>
      truth.played === null || heard.offset === undefined
        ? []
        : [heard.offset - (truth.played - truth.due) * 1000],
    ),
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

// How well and how fast the ear hears, on the half of its test set that no tuning has seen.
import { type BenchRow, quantile } from '../bench.ts';
import {
  aubioScores,
  biasOf,
  blindScores,
  costOf,
  onsetScores,
  scored,
} from '../ear-set/figures.ts';
import { fMeasure } from '../ear-set/onset-score.ts';
import { tally } from '../ear-set/score.ts';

const heldOut = () => tally(scored('held-out').flatMap((take) => take.changes));
const SET = 'held-out half: 160 takes of sampled guitars, one timbre (jazz) unknown to all tuning';

function onsetRow(name: string, ms: number, goal: number): BenchRow {
  return {
    name,
    what: `strokes of the pass found within ±${ms} ms, F as mir_eval defines it`,
    unit: 'F',
    goal: { at: '>=', value: goal },
    measure: async () => {
      const takes = scored('held-out');
      const [own, peer] = [onsetScores(takes, ms / 1000), aubioScores(takes, ms / 1000)];
      const blind = fMeasure(blindScores(takes, ms / 1000));
      const bias = biasOf(peer);
      const moved = fMeasure(aubioScores(takes, ms / 1000, -bias));
      const errors = own.flatMap((s) => s.errors).map((e) => e * 1000);
      const spread = quantile(errors, 0.95) - quantile(errors, 0.05);
      return {
        value: fMeasure(own),
        peer: { name: 'aubioonset', value: fMeasure(peer) },
        note:
          `bias ${quantile(errors, 0.5).toFixed(1)} ms, 90 % within ${spread.toFixed(1)} ms; ` +
          `without the chart's help ${blind.toFixed(3)}; ` +
          `aubioonset with its bias of ${(bias * 1000).toFixed(1)} ms taken off: ${moved.toFixed(3)}`,
      };
    },
  };
}

export const rows: BenchRow[] = [
  {
    name: 'ear-right-accepted',
    what: 'changes told right when they were played right',
    unit: 'share',
    goal: { at: '>=', value: 0.98 },
    measure: async () => ({ value: heldOut().accepted, note: SET }),
  },
  {
    name: 'ear-wrong-caught',
    what: 'wrong, held, muted and silent chords caught',
    unit: 'share',
    goal: { at: '>=', value: 0.95 },
    measure: async () => {
      const { caught, lostCaught, anyCaught } = heldOut();
      const percent = (share: number) => `${(100 * share).toFixed(0)} %`;
      return {
        value: caught,
        note: `a single dead string that loses a tone is counted apart: ${percent(lostCaught)} caught; with it ${percent(anyCaught)}`,
      };
    },
  },
  {
    name: 'ear-timing-median',
    what: 'error of a change’s offset, median',
    unit: 'ms',
    goal: { at: '<=', value: 5 },
    measure: async () => {
      const { offsets } = heldOut();
      const bias = quantile(offsets, 0.5).toFixed(1);
      return { value: quantile(offsets.map(Math.abs), 0.5), note: `bias ${bias} ms` };
    },
  },
  {
    name: 'ear-timing-p95',
    what: 'error of a change’s offset, 95th percentile',
    unit: 'ms',
    goal: { at: '<=', value: 15 },
    measure: async () => ({ value: quantile(heldOut().offsets.map(Math.abs), 0.95) }),
  },
  onsetRow('ear-onset-f50', 50, 0.97),
  onsetRow('ear-onset-f25', 25, 0.95),
  {
    name: 'ear-unsure-share',
    what: 'changes of which the ear says that it can’t tell',
    unit: 'share',
    measure: async () => ({ value: heldOut().unsure }),
  },
  {
    name: 'ear-cost',
    what: 'computing time as a share of real time, one core',
    unit: 'share',
    goal: { at: '<=', value: 0.02 },
    measure: async () => ({
      value: costOf(scored('held-out')),
      note: 'resampling from 44.1 kHz included',
    }),
  },
  {
    name: 'ear-delay',
    what: 'from the end of a change’s window to its verdict, 95th percentile',
    unit: 'ms',
    goal: { at: '<=', value: 150 },
    measure: async () => {
      const takes = scored('held-out');
      // The last change of a take may be judged by the end of the recording instead of by waiting.
      const delays = takes.flatMap((t) => t.changes.slice(0, -1).map((c) => c.delay * 1000));
      const most = Math.max(...delays).toFixed(0);
      return { value: quantile(delays, 0.95), note: `most ${most} ms; blocks of 1,024 samples` };
    },
  },
];

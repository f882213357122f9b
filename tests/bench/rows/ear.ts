// How well and how fast the ear hears, on guitars and rooms that neither its training nor any choice has met.
import { type BenchRow, quantile } from '../bench.ts';
import {
  accepted,
  caught,
  cellCount,
  changesOf,
  chordCaught,
  confusionWords,
  costOf,
  lateTold,
  passesTold,
  stringsNamed,
  stringsTrue,
  unsure,
  worstCells,
} from '../ear-set/figures.ts';
import { EARLIER } from '../ear-set/earlier.ts';
import { counted, type Counted } from '../ear-set/counted.ts';
import { besideTranscriber } from '../ear-set/beside-transcriber.ts';
import type { Deed } from '../ear-set/plan.ts';
import { offsetErrors, type ScoredChange, type ScoredTake } from '../ear-set/score.ts';
import { fewTakes, heardTakes } from '../fresh-set/heard.ts';
import { judgedStarts, startFigures, startsTold } from '../start-set/figures.ts';
import {
  agrees,
  disagreement,
  judgeLabelled,
  type LabelledChange,
  labelsIn,
  MINE,
} from '../takes/takes.ts';

/** Looked at once, after every choice; see tests/bench/fresh-set/README.md. */
const takes = () => heardTakes('fresh-d');
const all = async () => changesOf(await takes());

interface Pair {
  /** The ear, and the earlier one, on the takes that both heard. */
  readonly now: readonly ScoredTake[];
  readonly before: readonly ScoredTake[];
}

async function besideEarlier(): Promise<Pair> {
  const now = (await takes()).filter(({ peers }) => peers);
  return { now, before: now.flatMap(({ peers }) => (peers ? [peers.earlier] : [])) };
}

type Figure = (takes: readonly ScoredTake[]) => Counted;

/** A share of the whole part; beside it what the earlier ear reached on a third of it, and this one on the same. */
function countedRow(
  name: string,
  what: string,
  goal: number,
  of: Figure,
  note: () => Promise<string> = () => Promise.resolve(''),
): BenchRow {
  return {
    name,
    what,
    unit: 'share',
    goal: { at: '>=', value: goal },
    measure: async () => {
      const { share, words } = of(await takes());
      const { now, before } = await besideEarlier();
      return {
        value: share,
        peer: { name: `the ear at ${EARLIER}, on a third of the takes`, value: of(before).share },
        note: `${words}; on the peer’s third ${of(now).words}${await note()}`,
      };
    },
  };
}

const caughtRow = (name: string, what: string, goal: number, deeds?: readonly Deed[]): BenchRow =>
  countedRow(name, what, goal, (of) => caught(changesOf(of), deeds));

const biasesBy = (
  changes: readonly ScoredChange[],
  pick: (change: ScoredChange) => string,
): [string, number][] =>
  [...Map.groupBy(changes, pick)].map(([name, of]) => [name, quantile(offsetErrors(of), 0.5)]);

/** A real player's takes, where somebody has laid some; see tests/bench/takes/README.md. */
const takesRow: BenchRow = {
  name: 'ear-takes',
  what: 'changes of the recordings in tests/bench/takes/mine told as their player labelled them',
  unit: 'share',
  measure: async () => {
    const all = labelsIn(MINE).flatMap(judgeLabelled);
    const words = (name: string, of: readonly LabelledChange[]): string =>
      `${name} ${of.filter(agrees).length} of ${of.length}`;
    const by = (pick: (change: LabelledChange) => string): string[] =>
      [...Map.groupBy(all, pick)].map(([name, of]) => words(name, of));
    return {
      value: all.filter(agrees).length / all.length,
      note: [
        ...by(({ played }) => played),
        ...by((c) => `${c.guitar}, ${c.room}:`),
        ...all.filter((change) => !agrees(change)).map(disagreement),
      ].join('; '),
    };
  },
};

export const rows: BenchRow[] = [
  ...(labelsIn(MINE).length > 0 ? [takesRow] : []),
  countedRow(
    'ear-right-accepted',
    'changes told right when they were played right',
    0.998,
    (of) => accepted(changesOf(of)),
    async () => `; worst cells: ${worstCells(await all(), 5).join(', ')}`,
  ),
  caughtRow('ear-wrong-caught', 'wrong, held, muted and silent chords caught, all kinds', 0.998),
  countedRow(
    'ear-wrong-chord-caught',
    'wrong chords caught: an exchanged tone, the chord before held, nothing struck, all strings muted, another chord',
    0.998,
    (of) => chordCaught(changesOf(of)),
  ),
  caughtRow('ear-dead-string', 'a dead string that alone carries a tone, caught', 0.97, [
    'tone-lost',
    'two-lost',
  ]),
  caughtRow('ear-half-pressed', 'a half-pressed string that alone carries a tone, caught', 0.85, [
    'half-pressed',
  ]),
  caughtRow('ear-other-colour', 'another colour or a tone too many, caught', 0.99, [
    'colour',
    'extra',
    'no-seventh',
  ]),
  countedRow('ear-late-told', 'right chords at least 60 ms late told late', 0.99, (of) =>
    lateTold(changesOf(of)),
  ),
  {
    name: 'ear-moment-median',
    what: 'error of a change’s moment, median',
    unit: 'ms',
    goal: { at: '<=', value: 1 },
    measure: async () => {
      const struck = (await takes()).flatMap(({ peers }) => peers?.aubio ?? []);
      const errors = struck.flatMap((error) => error ?? []);
      const bias = quantile(errors, 0.5);
      const moved = errors.map((error) => Math.abs(error - bias));
      return {
        value: quantile(offsetErrors(await all()).map(Math.abs), 0.5),
        peer: { name: 'aubioonset, its bias taken off', value: quantile(moved, 0.5) },
        note: `aubioonset is ${bias.toFixed(1)} ms late; within 100 ms it finds ${counted(errors.length, struck.length).words}`,
      };
    },
  },
  {
    name: 'ear-moment-p95',
    what: 'error of a change’s moment, 95th percentile',
    unit: 'ms',
    goal: { at: '<=', value: 4 },
    measure: async () => ({ value: quantile(offsetErrors(await all()).map(Math.abs), 0.95) }),
  },
  {
    name: 'ear-moment-bias',
    what: 'median error of a change’s moment, for the guitar with the largest',
    unit: 'ms',
    goal: { at: '<=', value: 2 },
    measure: async () => {
      const biases = biasesBy(await all(), ({ plan }) => plan.timbre);
      return {
        value: Math.max(...biases.map(([, bias]) => Math.abs(bias))),
        note: biases.map(([timbre, bias]) => `${timbre} ${bias.toFixed(1)}`).join(', '),
      };
    },
  },
  {
    name: 'ear-cells-with-faults',
    what: 'cells of guitar × room × kind of playing with at least one change told wrong',
    unit: 'cells',
    measure: async () => {
      const changes = await all();
      const worst = worstCells(changes, Infinity);
      return {
        value: worst.length,
        note: `of ${cellCount(changes)}; worst ten: ${worst.slice(0, 10).join(', ')}; played → heard: ${confusionWords(changes)}`,
      };
    },
  },
  {
    name: 'ear-and-transcriber',
    what: 'mean of right changes accepted and wrong ones caught, on the few takes that a transcriber heard, too',
    unit: 'share',
    measure: async () => {
      const [own, peer] = await besideTranscriber(fewTakes('fresh-d'));
      return {
        value: own.mean,
        peer: { name: 'basic-pitch, told afterwards what was due', value: peer.mean },
        note: `right: ${own.accepted.words}, peer ${peer.accepted.words}; wrong: ${own.caught.words}, peer ${peer.caught.words}; only changes that were struck and whose shape is known, of each guitar one take a round`,
      };
    },
  },
  countedRow(
    'ear-strings-named',
    'of the dead, half-pressed and unwanted strings that the ear names: they and no others are at fault',
    0.95,
    (of) => stringsNamed(changesOf(of)),
    async () => `; all that are named are at fault: ${stringsTrue(await all()).words}`,
  ),
  {
    name: 'ear-unsure-share',
    what: 'changes of which the ear says that it can’t tell',
    unit: 'share',
    measure: async () => {
      const { share, words } = unsure(await all());
      return { value: share, note: words };
    },
  },
  countedRow('ear-clean-pass', 'truly clean passes called clean', 0.98, (of) =>
    passesTold(of, 'clean'),
  ),
  countedRow('ear-missed-pass', 'truly missed passes called missed', 0.99, (of) =>
    passesTold(of, 'missed'),
  ),
  {
    name: 'ear-start-wrong',
    what: 'takes whose start, found by ear, is more than 60 ms off',
    unit: 'share',
    goal: { at: '<=', value: 0.01 },
    measure: async () => {
      const { wrong, saidSo, doubted } = startsTold((await takes()).map(({ start }) => start));
      return {
        value: wrong.share,
        note: `${wrong.words}; of these said to be doubtful: ${saidSo.words}; doubted at all: ${doubted.words}`,
      };
    },
  },
  {
    name: 'ear-start-hard',
    what: 'takes with one trouble each whose start `npm run judge` misses by more than 60 ms',
    unit: 'share',
    goal: { at: '<=', value: 0.01 },
    measure: async () => {
      const { wrong, saidSo, doubted, byTrouble } = startFigures(judgedStarts('report'));
      return {
        value: wrong.share,
        note: `${wrong.words}; of these said to be doubtful: ${saidSo.words}; doubted at all: ${doubted.words}; ${byTrouble.join(', ')}`,
      };
    },
  },
  {
    name: 'ear-cost',
    what: 'processor time as a share of real time, one core',
    unit: 'share',
    goal: { at: '<=', value: 0.015 },
    measure: async () => ({
      value: costOf(await takes()),
      note: 'resampling from 44.1 kHz included; other takes are heard beside it',
    }),
  },
  {
    name: 'ear-delay',
    what: 'from the end of a change’s window to its verdict, 95th percentile',
    unit: 'ms',
    goal: { at: '<=', value: 150 },
    measure: async () => {
      // The last change of a take may be judged by the end of the recording instead of by waiting.
      const delays = (await takes()).flatMap((t) =>
        t.changes.slice(0, -1).map((c) => c.delay * 1000),
      );
      const most = Math.max(...delays).toFixed(0);
      return { value: quantile(delays, 0.95), note: `most ${most} ms; blocks of 1,024 samples` };
    },
  },
];

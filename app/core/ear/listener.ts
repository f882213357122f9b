// The ear at work: takes sound as it comes, and says of each change what it heard as soon as its time is over.
import type { ChangeHeard } from '../model/pass.ts';
import type { Cents, SampleRate, Samples, Seconds, Share } from '../base/units.ts';
import { HEARD, clickRemover } from './clicks.ts';
import { SLOW_NEEDS, soundFrames } from './frames.ts';
import { type Hole, holeFinder } from './holes.ts';
import { judgeChange, SEEN_BEFORE } from './judge-change.ts';
import type { ExpectedChange, Expectation } from './model.ts';
import type { Network } from './network/network.ts';
import { EAR_RATE, resampler } from './rate.ts';
import { pitchesOf } from './score.ts';
import { shiftFinder } from './shift.ts';
import { hearTuning, NO_TUNING, tuningOf } from './tuning.ts';

export interface Listener {
  /** Sound as it comes, −1 to 1; answers with the changes whose time is over, in order. */
  push(block: Float32Array): ChangeHeard[];
  /** The recording is over: whatever is left is judged from what there is. */
  finish(): ChangeHeard[];
  readonly findings: Findings;
}

/** What is worth knowing about the take as a whole. */
export interface Findings {
  /** How far the guitar is from A4 = 440 Hz; compensated. */
  readonly tuning: Cents;
  /** Loudest sample, 0–1. */
  readonly peak: Share;
  /** Share of samples at full scale. */
  readonly clipped: Share;
  /** Did the microphone hear the program's own clicks? They were taken out. */
  readonly clicksHeard: boolean;
  /** Semitones by which nearly every chord sounds away from the chart, −5 to 6; 0 where it does not. */
  readonly shift: number;
  /** Sound that never arrived, though the recording goes on. */
  readonly lost: Seconds;
  /** Seconds of sound received. */
  readonly length: Seconds;
}

/** A change is judged this long after its time is over: the windows of the last frames end there. */
const PATIENCE: Seconds = SLOW_NEEDS - SEEN_BEFORE + 0.002;
/** A sample this near full scale was cut off. */
const FULL: Share = 0.999;

/** An ear for one pass, to be given its sound block by block. @param rate of that sound, in hertz */
export function listen(expectation: Expectation, rate: SampleRate, network: Network): Listener {
  const resample = resampler(rate);
  const meter = peakMeter();
  const finder = holeFinder(rate);
  const bench = workbench(expectation, network, () => finder.holes);
  return {
    push: (block) => {
      meter.read(block);
      finder.push(block);
      return bench.hear(resample.push(block));
    },
    finish: () => {
      const rest = new Float32Array(resample.delay + Math.ceil(FLUSH * rate));
      return [...bench.hear(resample.push(rest)), ...bench.finish(meter.count / rate)];
    },
    get findings() {
      const { peak, clipped, count } = meter;
      const lost = finder.holes.reduce((sum, { from, to }) => sum + to - from, 0);
      return { ...bench.findings, peak, clipped, lost, length: count / rate };
    },
  };
}

/** Sound is worked on in steps of this size (16 ms), so that verdicts do not depend on how it was cut. */
const STEP: Samples = 256;

/** Everything at the ear's own rate. */
function workbench(expectation: Expectation, network: Network, holes: () => readonly Hole[]) {
  const remover = clickRemover(expectation.clicks);
  const frames = soundFrames();
  const store = sampleStore();
  const shifts = shiftFinder();
  let tuning = NO_TUNING;
  let next = 0;
  let worked: Samples = 0;

  const judgeNext = (): ChangeHeard => {
    const change = expectation.changes[next]!;
    // The guitar's tuning is heard first, so that the very first change is heard in tune.
    const until = change.until - SEEN_BEFORE;
    const due = pitchesOf(change.to);
    tuning = hearTuning(tuning, frames, { began: change.due, until, due });
    frames.tune(tuningOf(tuning));
    const { heard, present } = judgeChange(expectation, next, { frames, network });
    shifts.hear(change, present);
    next++;
    const spoilt = change.due < 0 || holes().some((hole) => spoils(hole, change));
    return spoilt ? untold(heard) : heard;
  };
  const isDue = (): boolean => {
    const change = expectation.changes[next];
    const heard = Math.min(worked, remover.settledUntil) / EAR_RATE;
    return change !== undefined && heard >= change.until + PATIENCE;
  };
  const work = (until: Samples): ChangeHeard[] => {
    worked = until;
    remover.advance(store.samples(), store.clicks(), worked);
    frames.advance(store.samples(), Math.min(worked, remover.settledUntil));
    const judged: ChangeHeard[] = [];
    while (isDue()) judged.push(judgeNext());
    return judged;
  };
  return {
    hear: (sound: Float32Array): ChangeHeard[] => {
      store.append(sound);
      const judged: ChangeHeard[] = [];
      while (worked + STEP <= store.length) judged.push(...work(worked + STEP));
      return judged;
    },
    finish: (end: Seconds): ChangeHeard[] => {
      const judged: ChangeHeard[] = [];
      while (next < expectation.changes.length) {
        const { due, until } = expectation.changes[next]!;
        const heard = judgeNext();
        judged.push(end < Math.min(until, due + LEAST_HEARD) ? untold(heard) : heard);
      }
      return judged;
    },
    get findings() {
      const clicksHeard = remover.heard >= HEARD;
      return { tuning: tuningOf(tuning), shift: shifts.found(), clicksHeard };
    },
  };
}

/** Of a change of which a recording that is cut off holds less than this, nothing is claimed. Ours. */
const LEAST_HEARD: Seconds = 0.3;

/** So far around its moment a hole makes a change uncertain: its edges sound like strokes. Ours, by trying. */
const SPOILT_BEFORE: Seconds = 0.3;
const SPOILT_AFTER: Seconds = 0.6;

const spoils = ({ from, to }: Hole, { due, until }: ExpectedChange): boolean =>
  to > due - SPOILT_BEFORE && from < Math.min(until + PATIENCE, due + SPOILT_AFTER);

/** Of a change whose sound did not arrive whole, nothing is claimed. */
const untold = ({ bar, change, from, to }: ChangeHeard): ChangeHeard => ({
  ...{ bar, change, from, to },
  timing: 'unsure',
  chord: 'unsure',
  confidence: 0,
});

/** Silence after the end, so that the last click and stroke are whole. */
const FLUSH: Seconds = 0.3;

/** A growing pair of buffers: the sound, and the clicks taken out of it. */
function sampleStore() {
  let samples = new Float32Array(EAR_RATE * 30);
  let clicks = new Float32Array(samples.length);
  let length: Samples = 0;
  const grow = (need: Samples): void => {
    if (need <= samples.length) return;
    const size = Math.max(need, samples.length * 2);
    [samples, clicks] = [samples, clicks].map((old) => {
      const larger = new Float32Array(size);
      larger.set(old);
      return larger;
    }) as [Float32Array<ArrayBuffer>, Float32Array<ArrayBuffer>];
  };
  return {
    append(block: Float32Array): void {
      grow(length + block.length);
      samples.set(block, length);
      length += block.length;
    },
    samples: () => samples,
    clicks: () => clicks,
    get length() {
      return length;
    },
  };
}

function peakMeter() {
  let peak = 0;
  let full = 0;
  let count = 0;
  return {
    read(block: Float32Array): void {
      count += block.length;
      for (let i = 0; i < block.length; i++) {
        const size = Math.abs(block[i]!);
        if (size > peak) peak = size;
        if (size >= FULL) full++;
      }
    },
    get peak() {
      return Math.min(1, peak);
    },
    get clipped() {
      return count === 0 ? 0 : full / count;
    },
    get count() {
      return count;
    },
  };
}

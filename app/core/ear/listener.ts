// The ear at work: takes sound as it comes, and says of each change what it heard as soon as its time is over.
import type { ChangeHeard } from '../model/pass.ts';
import type { Cents, SampleRate, Samples, Seconds, Share } from '../base/units.ts';
import { HEARD, clickRemover } from './clicks.ts';
import type { Heard } from './heard.ts';
import { type Hole, holeFinder } from './holes.ts';
import { judgeChange } from './judge-change.ts';
import type { ExpectedChange, Expectation } from './model.ts';
import { type Onset, onsetDetector } from './onsets.ts';
import { EAR_RATE, resampler } from './rate.ts';
import { shiftFinder } from './shift.ts';
import { NO_TUNING, type TuningEvidence, tuningOf } from './tuning.ts';

export interface Listener {
  /** Sound as it comes, −1 to 1; answers with the changes whose time is over, in order. */
  push(block: Float32Array): ChangeHeard[];
  /** The recording is over: whatever is left is judged from what there is. */
  finish(): ChangeHeard[];
  readonly findings: Findings;
  /** Every onset heard so far, faint ones included; `strokesOfPass` says which are strokes. */
  readonly onsets: readonly Onset[];
  /** What was learned of the guitar's tuning, for the next pass. */
  readonly tuningEvidence: TuningEvidence;
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

/** A change is judged this long after its time is over: the onset detector looks 63 ms ahead. */
export const PATIENCE: Seconds = 0.07;
/** A sample this near full scale was cut off. */
const FULL: Share = 0.999;

/** `tuning` is what earlier passes of the same sitting found, so that the first change is heard in tune. */
export function listen(
  expectation: Expectation,
  rate: SampleRate,
  tuning: TuningEvidence = NO_TUNING,
): Listener {
  const resample = resampler(rate);
  const meter = peakMeter();
  const finder = holeFinder(rate);
  const bench = workbench(expectation, tuning, () => finder.holes);
  return {
    push: (block) => {
      meter.read(block);
      finder.push(block);
      return bench.hear(resample.push(block));
    },
    finish: () => {
      bench.breakOff();
      const rest = new Float32Array(resample.delay + Math.ceil(FLUSH * rate));
      return [...bench.hear(resample.push(rest)), ...bench.finish()];
    },
    get findings() {
      const { peak, clipped, count } = meter;
      const lost = finder.holes.reduce((sum, { from, to }) => sum + to - from, 0);
      return { ...bench.findings, peak, clipped, lost, length: count / rate };
    },
    get onsets() {
      return bench.onsets;
    },
    get tuningEvidence() {
      return bench.tuning;
    },
  };
}

/** Sound is worked on in steps of this size (23 ms), so that verdicts do not depend on how it was cut. */
const STEP: Samples = 512;

/** Everything at the ear's own rate. */
function workbench(expectation: Expectation, tuning: TuningEvidence, holes: () => readonly Hole[]) {
  const remover = clickRemover(expectation.clicks);
  const detector = onsetDetector();
  const store = sampleStore();
  const shifts = shiftFinder();
  let evidence = tuning;
  let next = 0;
  let worked: Samples = 0;
  /** Where a recording breaks off, the break itself sounds like a stroke. */
  let breaksOff: Seconds = Infinity;
  const onsets = (): readonly Onset[] => detector.onsets.filter((o) => o.at < breaksOff);

  const judgeNext = (): ChangeHeard => {
    const heard: Heard = { samples: store.samples(), length: worked, onsets: onsets() };
    const judged = judgeChange(expectation, next, heard, evidence);
    evidence = judged.tuning;
    const change = expectation.changes[next]!;
    shifts.hear(change, judged.present);
    next++;
    return holes().some((hole) => spoils(hole, change)) ? untold(judged.heard) : judged.heard;
  };
  const isDue = (): boolean => {
    const change = expectation.changes[next];
    if (!change || worked / EAR_RATE < change.until + PATIENCE) return false;
    return remover.settledUntil / EAR_RATE > change.until - 0.01;
  };
  const work = (until: Samples): ChangeHeard[] => {
    worked = until;
    remover.advance(store.samples(), store.clicks(), worked);
    detector.advance(store.samples(), store.clicks(), Math.min(worked, remover.settledUntil));
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
    finish: (): ChangeHeard[] => {
      const judged: ChangeHeard[] = [];
      while (next < expectation.changes.length) judged.push(judgeNext());
      return judged;
    },
    get findings() {
      const clicksHeard = remover.heard >= HEARD;
      return { tuning: tuningOf(evidence), shift: shifts.found(), clicksHeard };
    },
    get onsets() {
      return onsets();
    },
    /** What comes now is silence of our own. */
    breakOff: (): void => {
      breaksOff = store.length / EAR_RATE - 0.03;
    },
    get tuning() {
      return evidence;
    },
  };
}

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

/** Silence after the end, so that the last click and stroke are whole: 0.3 s. */
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
      for (const x of block) {
        const size = Math.abs(x);
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

// Cuts the stretches that are asked for out of the microphone's sound and has the ear judge each.
import { clickRemover } from '../../../app/core/ear/clicks.ts';
import { judgeLead } from '../../../app/core/ear/lead/judge-lead.ts';
import { listen } from '../../../app/core/ear/listener.ts';
import { joined, resampled } from '../../../app/core/ear/rate.ts';
import type { Network } from '../../../app/core/ear/network/network.ts';
import type { ChangeHeard } from '../../../app/core/model/pass.ts';
import type { SampleRate, Samples } from '../../../app/core/base/units.ts';
import type { AskedTake, HeardTake, Job } from './takes.ts';

/** The judge of one take: given its sound in order, it answers when it has heard enough. */
interface Judge {
  push(samples: Float32Array): HeardTake['heard'] | undefined;
  finish(): HeardTake['heard'];
}

interface OpenTake {
  readonly asked: AskedTake;
  readonly judge: Judge;
  /** The next frame that is wanted. */
  next: Samples;
  missing: Samples;
}

export class Listening {
  readonly #rate: SampleRate;
  readonly #tell: (take: HeardTake) => void;
  readonly #network: Network;
  #open: OpenTake[] = [];

  constructor(rate: SampleRate, network: Network, tell: (take: HeardTake) => void) {
    this.#rate = rate;
    this.#network = network;
    this.#tell = tell;
  }

  take(asked: AskedTake): void {
    this.drop(asked.id);
    const judge = this.#judgeOf(asked.job);
    this.#open = [...this.#open, { asked, judge, next: asked.from, missing: 0 }];
  }

  drop(id: number): void {
    this.#open = this.#open.filter(({ asked }) => asked.id !== id);
  }

  block(frame: Samples, samples: Float32Array): void {
    for (const take of this.#open) this.#feed(take, frame, samples);
  }

  #feed(take: OpenTake, frame: Samples, samples: Float32Array): void {
    const { asked, judge } = take;
    const end = Math.min(frame + samples.length, asked.to);
    if (end > take.next) {
      const hole = Math.max(0, Math.min(frame, asked.to) - take.next);
      const part = samples.subarray(Math.max(0, take.next - frame), Math.max(0, end - frame));
      const heard = judge.push(hole > 0 ? joined(new Float32Array(hole), part) : part);
      take.next = end;
      take.missing += hole;
      if (heard) return this.#answer(take, heard);
    }
    if (frame + samples.length >= asked.to) this.#answer(take, judge.finish());
  }

  #answer({ asked, missing }: OpenTake, heard: HeardTake['heard']): void {
    this.drop(asked.id);
    this.#tell({ id: asked.id, heard, missing: missing / this.#rate });
  }

  #judgeOf(job: Job): Judge {
    if (job.kind === 'lead') return leadJudge(job, this.#rate, this.#network);
    return this.#chordJudge(job);
  }

  #chordJudge({ expectation }: Extract<Job, { kind: 'chords' }>): Judge {
    const listener = listen(expectation, this.#rate, this.#network);
    const changes: ChangeHeard[] = [];
    const heard = () => ({ kind: 'chords' as const, changes, findings: listener.findings });
    return {
      push: (samples) => {
        changes.push(...listener.push(samples));
        return changes.length === expectation.changes.length ? heard() : undefined;
      },
      finish: () => {
        changes.push(...listener.finish());
        return heard();
      },
    };
  }
}

/** A lead is judged as a whole once it has been played. */
function leadJudge(job: Extract<Job, { kind: 'lead' }>, rate: SampleRate, network: Network): Judge {
  const parts: Float32Array[] = [];
  return {
    push: (samples) => {
      parts.push(samples.slice());
      return undefined;
    },
    finish: () => {
      const whole = wholeOf(parts);
      const samples = resampled(whole, rate);
      clickRemover(job.clicks).advance(samples, new Float32Array(samples.length), samples.length);
      const lead = judgeLead(job.moments, { samples, start: job.start }, job.onTime, network);
      return { kind: 'lead', lead, ...loudnessOf(whole) };
    },
  };
}

function wholeOf(parts: readonly Float32Array[]): Float32Array {
  const whole = new Float32Array(parts.reduce((sum, part) => sum + part.length, 0));
  parts.reduce((at, part) => (whole.set(part, at), at + part.length), 0);
  return whole;
}

function loudnessOf(samples: Float32Array): { peak: number; clipped: number } {
  let peak = 0;
  let full = 0;
  for (const x of samples) {
    peak = Math.max(peak, Math.abs(x));
    if (Math.abs(x) >= 0.999) full += 1;
  }
  return { peak: Math.min(1, peak), clipped: full / Math.max(1, samples.length) };
}

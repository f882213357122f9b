// Records, inside the page, every sample that any code sends to the output of a live audio context.

/** What was recorded: sample i of `samples` is frame `startsAt + i` of the context's clock. */
export interface Tape {
  readonly sampleRate: number;
  readonly startsAt: number;
  readonly samples: Float32Array;
}

export interface Recording {
  /** Ends when the tape reaches this audio time. */
  until(time: number): Promise<Tape>;
}

interface Batch {
  readonly startsAt: number;
  readonly samples: Float32Array;
}

/** The nodes that are plugged into the output of each context. */
const feeds = new WeakMap<BaseAudioContext, Set<AudioNode>>();
const connectForReal = AudioNode.prototype.connect;

/** From now on it is noted which nodes feed the output of a context. Call it before any is made. */
export function noteFeeds() {
  AudioNode.prototype.connect = function (this: AudioNode, ...args: unknown[]) {
    if (args[0] === this.context.destination) {
      feeds.set(this.context, (feeds.get(this.context) ?? new Set()).add(this));
    }
    return connectForReal.apply(this, args as never) as never;
  } as never;
}

/** Records what feeds the output of a live context, sample by sample. */
export async function record(context: AudioContext): Promise<Recording> {
  await context.audioWorklet.addModule('/recorder.js');
  const node = new AudioWorkletNode(context, 'recorder', {
    channelCount: 1,
    channelCountMode: 'explicit',
  });
  for (const feed of feeds.get(context) ?? []) connectForReal.call(feed, node as never);
  connectForReal.call(node, context.destination as never);
  const batches: Batch[] = [];
  let waiting: { frame: number; done: () => void } | undefined;
  node.port.onmessage = ({ data }: MessageEvent<Batch>) => {
    batches.push(data);
    if (waiting && data.startsAt + data.samples.length >= waiting.frame) waiting.done();
  };
  return {
    async until(time) {
      await new Promise<void>((done) => (waiting = { frame: time * context.sampleRate, done }));
      return spliced(context.sampleRate, batches);
    },
  };
}

function spliced(sampleRate: number, batches: readonly Batch[]): Tape {
  const startsAt = batches[0]!.startsAt;
  const last = batches.at(-1)!;
  const samples = new Float32Array(last.startsAt + last.samples.length - startsAt);
  for (const batch of batches) samples.set(batch.samples, batch.startsAt - startsAt);
  return { sampleRate, startsAt, samples };
}

/** Frames at which something sounds after at least one silent sample. */
export function onsets(tape: Tape, threshold = 1e-4): number[] {
  const found: number[] = [];
  tape.samples.forEach((x, i) => {
    const before = tape.samples[i - 1] ?? 0;
    if (Math.abs(x) > threshold && Math.abs(before) <= threshold) found.push(tape.startsAt + i);
  });
  return found;
}

// The ear's thread as the view sees it: hand it stretches to judge, sound, or a file, and hear the answers.
import type { TakeJudged } from '../../../app/core/ear/judge-take.ts';
import type { Result } from '../../../app/core/base/result.ts';
import type { Capture } from './model.ts';
import type { AnalysisAnswer, AnalysisRequest, AskedFile, AskedTake, HeardTake } from './takes.ts';

export interface Analysis {
  /** From now on this microphone's sound is listened to, until the returned function is called. */
  follow(capture: Capture): () => void;
  ask(take: AskedTake): void;
  drop(id: number): void;
  /** Returns the function that ends the listening. */
  onHeard(listener: (take: HeardTake) => void): () => void;
  /** The thread has ended by a fault: nothing more is heard. Returns the function that ends the listening. */
  onLost(listener: () => void): () => void;
  close(): void;
}

/** What of a worker is needed here. */
export type AnalysisWorker = Pick<
  Worker,
  'postMessage' | 'terminate' | 'onmessage' | 'onerror' | 'onmessageerror'
>;

/** The ear in a worker of its own. @param worker another one, for tests */
export function startAnalysis(worker: AnalysisWorker = startWorker()): Analysis {
  const listeners = new Set<(take: HeardTake) => void>();
  const losses = new Set<() => void>();
  const lose = (): void => [...losses].forEach((tell) => tell());
  const send = (request: AnalysisRequest, move: Transferable[] = []) =>
    worker.postMessage(request, move);
  worker.onmessage = ({ data }: MessageEvent<AnalysisAnswer>) => {
    if (data.kind === 'take') listeners.forEach((listener) => listener(data.take));
  };
  worker.onerror = lose;
  worker.onmessageerror = lose;
  return {
    follow(capture) {
      send({ kind: 'rate', rate: capture.rate });
      return capture.onBlock(({ frame, samples }) => send({ kind: 'block', frame, samples }));
    },
    ask: (take) => send({ kind: 'take', take }),
    drop: (id) => send({ kind: 'drop', id }),
    onHeard(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    onLost(listener) {
      losses.add(listener);
      return () => losses.delete(listener);
    },
    close: () => worker.terminate(),
  };
}

/** Judges one recording in a thread of its own, which ends with it. @throws Error when the thread fails. */
export async function judgeFile(file: AskedFile): Promise<Result<TakeJudged>> {
  const worker = startWorker();
  try {
    return await new Promise((done, failed) => {
      worker.onmessage = ({ data }: MessageEvent<AnalysisAnswer>) =>
        data.kind === 'file' && done(data.judged);
      worker.onerror = (event) => failed(new Error(event.message));
      worker.postMessage({ kind: 'file', file } satisfies AnalysisRequest);
    });
  } finally {
    worker.terminate();
  }
}

const startWorker = (): Worker =>
  new Worker(new URL('./analysis.worker.ts', import.meta.url), { type: 'module' });

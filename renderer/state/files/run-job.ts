// Runs one job in a worker: progress as it comes, the pieces gathered into one file, and a way to stop it at once.
import { type Result, fail } from '../../../app/core/base/result.ts';
import type { Share } from '../../../app/core/base/units.ts';
import type { FileJob, FromWorker, JobAnswers } from './jobs.ts';

export interface FinishedJob<K extends FileJob['kind']> {
  readonly answer: JobAnswers[K];
  /** Everything the job wrote, in order. */
  readonly file: Blob;
}

export interface RunningJob<K extends FileJob['kind']> {
  /** Undefined when the job was cancelled. */
  readonly finished: Promise<Result<FinishedJob<K>> | undefined>;
  /** The worker stops where it stands; nothing of the file is kept. */
  readonly cancel: () => void;
}

/** What of a worker is needed here. */
export type JobWorker = Pick<
  Worker,
  'postMessage' | 'terminate' | 'onmessage' | 'onerror' | 'onmessageerror'
>;

const startWorker = (): JobWorker =>
  new Worker(new URL('./file-worker.ts', import.meta.url), { type: 'module' });

/** In a worker of its own, which ends with the job. @param onprogress hears the share that is done, 0–1 */
export function runJob<K extends FileJob['kind']>(
  job: Extract<FileJob, { kind: K }>,
  onprogress: (done: Share) => void = () => undefined,
  start: () => JobWorker = startWorker,
): RunningJob<K> {
  const worker = start();
  const gathered = new Gathered();
  const { promise, resolve } = Promise.withResolvers<Result<FinishedJob<K>> | undefined>();
  const end = (result: Result<FinishedJob<K>> | undefined): void => {
    worker.terminate();
    resolve(result);
  };
  worker.onmessage = ({ data }: MessageEvent<FromWorker>) => {
    if (data.kind === 'piece') {
      gathered.add(data.bytes);
      onprogress(data.done);
    } else if (data.result.ok) {
      const answer = data.result.value as JobAnswers[K];
      end({ ok: true, value: { answer, file: gathered.blob() } });
    } else end(data.result);
  };
  worker.onerror = ({ message }: ErrorEvent) => end(broken(message));
  worker.onmessageerror = () => end(broken(''));
  worker.postMessage(job);
  return { finished: promise, cancel: () => end(undefined) };
}

const broken = (why: string): Result<never> =>
  fail({
    code: 'file-job',
    message: `The work on the file broke off${why ? ` (${why.slice(0, 120)})` : ''}.`,
    cure: 'Try again; a shorter file needs less memory.',
  });

/** About half a minute of sound: what is handed over to the browser at once, which may keep it on disk. */
const PIECES_TOGETHER = 8;

class Gathered {
  #blobs: Blob[] = [];
  #pieces: Uint8Array<ArrayBuffer>[] = [];

  add(piece: Uint8Array<ArrayBuffer>): void {
    this.#pieces.push(piece);
    if (this.#pieces.length >= PIECES_TOGETHER) this.#handOver();
  }

  blob(): Blob {
    this.#handOver();
    return new Blob(this.#blobs);
  }

  #handOver(): void {
    this.#blobs.push(new Blob(this.#pieces));
    this.#pieces = [];
  }
}

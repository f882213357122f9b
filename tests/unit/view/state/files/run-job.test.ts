// One job in a worker: pieces become one file, a failure is told, and cancelling ends the worker at once.
import { describe, expect, it, vi } from 'vitest';
import { fail, ok } from '../../../../../app/core/base/result.ts';
import { type JobWorker, runJob } from '../../../../../renderer/state/files/run-job.ts';
import type { FromWorker } from '../../../../../renderer/state/files/jobs.ts';

/** A worker that says what the test has it say. */
function fakeWorker() {
  const worker: JobWorker = {
    postMessage: vi.fn(),
    terminate: vi.fn(),
    onmessage: null,
    onerror: null,
    onmessageerror: null,
  };
  const say = (data: FromWorker) =>
    worker.onmessage?.call(worker as Worker, { data } as MessageEvent<FromWorker>);
  const breakOff = (message: string) =>
    worker.onerror?.call(worker as Worker, { message } as ErrorEvent);
  return { worker, say, breakOff };
}

const JOB = { kind: 'read-score', bytes: Uint8Array.of(60) } as const;
const piece = (...bytes: number[]): FromWorker => ({
  kind: 'piece',
  bytes: Uint8Array.from(bytes),
  done: bytes[0]! / 100,
});

describe('runJob', () => {
  it('gathers the pieces in order, tells of each, and ends the worker', async () => {
    const { worker, say } = fakeWorker();
    const told: number[] = [];
    const running = runJob(JOB, (done) => told.push(done), () => worker); // prettier-ignore
    expect(worker.postMessage).toHaveBeenCalledWith(JOB);
    const numbers = Array.from({ length: 20 }, (_, i) => i);
    for (const i of numbers) say(piece(i, i));
    say({ kind: 'answer', result: ok(null) });
    const result = await running.finished;
    expect(result?.ok).toBe(true);
    const file = result?.ok ? result.value.file : new Blob();
    expect([...new Uint8Array(await file.arrayBuffer())]).toEqual(numbers.flatMap((i) => [i, i]));
    expect(told).toEqual(numbers.map((i) => i / 100));
    expect(worker.terminate).toHaveBeenCalled();
  });

  it('hands on why the work was refused', async () => {
    const { worker, say } = fakeWorker();
    const running = runJob(JOB, undefined, () => worker);
    const problem = { code: 'x', message: 'No.', cure: 'Yes.' };
    say({ kind: 'answer', result: fail(problem) });
    expect(await running.finished).toEqual({ ok: false, problems: [problem] });
  });

  it('tells when the worker breaks off', async () => {
    const { worker, breakOff } = fakeWorker();
    const running = runJob(JOB, undefined, () => worker);
    breakOff('out of memory');
    const result = await running.finished;
    expect(result?.ok === false && result.problems[0]!.message).toBe(
      'The work on the file broke off (out of memory).',
    );
  });

  it('comes to nothing when cancelled, whatever arrives afterwards', async () => {
    const { worker, say } = fakeWorker();
    const running = runJob(JOB, undefined, () => worker);
    say(piece(1));
    running.cancel();
    say({ kind: 'answer', result: ok(null) });
    expect(await running.finished).toBeUndefined();
    expect(worker.terminate).toHaveBeenCalled();
  });
});

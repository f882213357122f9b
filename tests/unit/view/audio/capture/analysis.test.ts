// The ear's thread: what it says is heard, and its end by a fault is told once to all who listen.
import { describe, expect, it, vi } from 'vitest';
import {
  type AnalysisWorker,
  startAnalysis,
} from '../../../../../renderer/audio/capture/analysis.ts';

function fakeWorker(): AnalysisWorker & { breakOff: () => void } {
  const worker: AnalysisWorker = {
    postMessage: vi.fn(),
    terminate: vi.fn(),
    onmessage: null,
    onerror: null,
    onmessageerror: null,
  };
  const breakOff = () => worker.onerror?.call(worker as Worker, {} as ErrorEvent);
  return Object.assign(worker, { breakOff });
}

describe('the thread of the ear', () => {
  it('is told to be lost when it ends by a fault', () => {
    const worker = fakeWorker();
    const analysis = startAnalysis(worker);
    const lost = vi.fn();
    const leave = analysis.onLost(lost);
    worker.breakOff();
    expect(lost).toHaveBeenCalledTimes(1);
    leave();
    worker.breakOff();
    expect(lost).toHaveBeenCalledTimes(1);
    analysis.close();
    expect(worker.terminate).toHaveBeenCalled();
  });
});

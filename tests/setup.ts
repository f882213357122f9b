// What every test file begins and ends with, since files share one world (tests/vitest.config.ts).
import fc from 'fast-check';
import { afterAll, vi } from 'vitest';

// Property tests draw the same cases in every run, so that a failure can be repeated; FC_SEED explores others.
fc.configureGlobal({ seed: Number(process.env['FC_SEED'] ?? 20_260_101) });

// Nothing that a file put into the global scope is there for the next one.
afterAll(() => {
  vi.unstubAllGlobals();
  vi.restoreAllMocks();
  vi.useRealTimers();
});

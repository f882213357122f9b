// `npm run fuzz`: the long form of the hostile inputs (tests/faults/hostile.test.ts), 200,000 at each door.
// `-- -t 'a chord'` knocks at one door; FUZZ_SEED=… makes other inputs.
import { runTool } from './suites.ts';

const file = 'tests/faults/hostile.test.ts';
process.exitCode = runTool(
  'vitest/vitest.mjs',
  ['run', '-c', 'tests/vitest.config.ts', file, ...process.argv.slice(2)],
  { env: { FUZZ: 'long' } },
);

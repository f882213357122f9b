// `npm run fuzz`: the long form of the hostile inputs (tests/faults/hostile.test.ts), 200,000 at each door.
// `-- --scale 0.1` knocks a tenth as often, `-- -t 'a chord'` at one door; FUZZ_SEED=… makes other inputs.
import { parseArgs } from 'node:util';
import { runTool } from './suites.ts';

const { values } = parseArgs({
  options: { scale: { type: 'string', default: '1' }, door: { type: 'string', short: 't' } },
});
const file = 'tests/faults/hostile.test.ts';
process.exitCode = runTool(
  'vitest/vitest.mjs',
  ['run', '-c', 'tests/vitest.config.ts', file, ...(values.door ? ['-t', values.door] : [])],
  { env: { FUZZ: 'long', FUZZ_SCALE: values.scale } },
);

// `npm run fuzz`: the long form of what tries many inputs: hostile ones, 200,000 at each door, thousands of random charts,
// damaged files and random logs.
// `-- --scale 0.1` tries a tenth as often, `-- -t 'a chord'` one door; FUZZ_SEED=… makes other hostile inputs.
import { parseArgs } from 'node:util';
import { runTool } from './suites.ts';

const { values } = parseArgs({
  options: { scale: { type: 'string', default: '1' }, door: { type: 'string', short: 't' } },
});
const files = [
  'tests/faults/hostile.test.ts',
  'tests/faults/chart.test.ts',
  'tests/faults/chart-mxl.test.ts',
  'tests/reference/band-tonal.test.ts',
  'tests/reference/musicxml.test.ts',
  'tests/unit/exchange/musicxml/musicxml.test.ts',
  'tests/unit/exchange/musicxml/strums.test.ts',
  'tests/unit/chart/notation.test.ts',
  'tests/unit/band/drums.test.ts',
  'tests/unit/services/log/kept-answers.test.ts',
  'tests/unit/services/log/questions.test.ts',
  'tests/unit/view/state/candidates.test.ts',
];
process.exitCode = await runTool(
  'vitest/vitest.mjs',
  ['run', '-c', 'tests/vitest.config.ts', ...files, ...(values.door ? ['-t', values.door] : [])],
  { env: { FUZZ: 'long', FUZZ_SCALE: values.scale } },
);

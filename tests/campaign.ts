// `npm run campaign`: the long form of the campaign against the data folder (tests/faults/campaign).
// `-- --scale 0.1` takes a tenth of it; `-- kills`, `-- folder`, `-- spoilt` one part.
import { parseArgs } from 'node:util';
import { runTool } from './suites.ts';

const { values, positionals } = parseArgs({
  options: { scale: { type: 'string', default: '1' } },
  allowPositionals: true,
});
const parts = positionals.length > 0 ? positionals : [''];
process.exitCode = await runTool(
  'vitest/vitest.mjs',
  ['run', '-c', 'tests/vitest.config.ts', ...parts.map((part) => `tests/faults/campaign/${part}`)],
  { env: { CAMPAIGN: 'long', CAMPAIGN_SCALE: values.scale } },
);

// `npm run campaign`: the long form of the campaign against the data folder (tests/faults/campaign.test.ts).
import { spawnSync } from 'node:child_process';

const { status } = spawnSync(
  'vitest',
  [
    'run',
    '-c',
    'tests/vitest.config.ts',
    'tests/faults/campaign.test.ts',
    ...process.argv.slice(2),
  ],
  {
    stdio: 'inherit',
    env: { ...process.env, CAMPAIGN: 'long' },
    shell: process.platform === 'win32',
  },
);
process.exit(status ?? 1);

// The program is killed in a climb: it starts again at once, with the pass that was judged, and climbs on.
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import path from 'node:path';
import { expect } from '@playwright/test';
import { record } from '../standin/record.ts';
import {
  anotherProcess,
  expectNoComplaints,
  judge,
  passesOnDisk,
  type Scenario,
  startClimb,
  WAIT,
} from './scenario.ts';

const scenario: Scenario = {
  async before(where) {
    const step = path.join(import.meta.dirname, 'steps', 'one-pass.ts');
    const first = spawn(process.execPath, anotherProcess(where, step), {
      stdio: ['ignore', 'pipe', 'inherit'],
    });
    const gone = once(first, 'close');
    let said = '';
    for await (const words of first.stdout) {
      said += String(words);
      if (said.includes('The pass is on disk.')) first.kill('SIGKILL');
    }
    await gone;
    expect(first.signalCode).toBe('SIGKILL');
    return [];
  },
  async run({ window, page }) {
    expect(record.errorBoxes).toEqual([]);
    expect(await passesOnDisk(page)).toBe(1);
    await judge(await startClimb(window), 1);
    await expect.poll(() => passesOnDisk(page), WAIT).toBe(2);
    expectNoComplaints();
  },
};

export default scenario;

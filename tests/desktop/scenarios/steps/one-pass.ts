// A start that judges one pass, says so, and goes on climbing until it is killed.
import { expect } from '@playwright/test';
import { judge, passesOnDisk, type Scenario, startClimb, WAIT } from '../scenario.ts';

const scenario: Scenario = {
  async run({ window }) {
    const page = await startClimb(window);
    await judge(page, 1);
    await expect.poll(() => passesOnDisk(page), WAIT).toBe(1);
    console.log('The pass is on disk.');
    await new Promise(() => undefined);
  },
};

export default scenario;

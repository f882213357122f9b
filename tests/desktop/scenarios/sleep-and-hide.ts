// Sleep pauses a climb; so does a window that is put away, though it keeps its full speed.
import { expect } from '@playwright/test';
import { powerMonitor } from '../standin/shell.ts';
import { expectNoComplaints, type Scenario, startClimb, WAIT } from './scenario.ts';

const scenario: Scenario = {
  async run({ window: shown }) {
    const page = await startClimb(shown);
    const paused = page.getByRole('region', { name: 'Stage' }).getByText(/paused/i);

    powerMonitor.emit('suspend');
    await expect(paused.first()).toBeVisible(WAIT);
    powerMonitor.emit('resume');

    await page.keyboard.press('Space');
    await expect(paused).toHaveCount(0, WAIT);
    shown.minimize();
    await expect(paused.first()).toBeVisible(WAIT);
    expectNoComplaints();
  },
};

export default scenario;

// The pictures of README.md, taken from the built program on the stand-in for Electron:
// node --import ./tests/desktop/standin/hook.ts tests/desktop/standin/run.ts . DATA tests/pictures/readme.ts
import path from 'node:path';
import { expect } from '@playwright/test';
import {
  judge,
  passesOnDisk,
  type Scenario,
  startClimb,
  WAIT,
} from '../desktop/scenarios/scenario.ts';
import { user } from '../desktop/standin/record.ts';
import { choose } from '../desktop/standin/shell.ts';

const scenario: Scenario = {
  async run({ window: shown, root }) {
    const page = await startClimb(shown);
    const take = (name: string) =>
      page.screenshot({ path: path.join(root, 'assets/pictures', `${name}.png`) });
    await page.setViewportSize({ width: 1200, height: 800 });
    await judge(page, 1);
    await judge(page, 2);
    await expect.poll(() => passesOnDisk(page), WAIT).toBe(2);
    user.messageBox = () => Promise.resolve({ response: 1 });
    for (const room of ['Today', 'History']) {
      choose('Rooms', room);
      await expect(page).toHaveTitle(`${room} · Rungwise`, WAIT);
      await page.waitForTimeout(1500);
      await take(room.toLowerCase());
    }
    await page.evaluate(() => (location.hash = '#/climb/demo-rain-on-the-kettle/section%3AVerse'));
    await page.getByRole('heading', { level: 1, name: 'Climb' }).waitFor();
    await page.getByRole('button', { name: 'Climb', exact: true }).click();
    await page.getByText('bar 2 of 4').waitFor();
    await page.waitForTimeout(1500);
    await take('stage');
  },
};

export default scenario;

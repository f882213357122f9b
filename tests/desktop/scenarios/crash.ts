// The page dies in a climb: the display is given back, the window opens again, and what was judged is there.
import { expect } from '@playwright/test';
import { app } from '../standin/app.ts';
import { record, user } from '../standin/record.ts';
import { judge, passesOnDisk, type Scenario, startClimb, WAIT } from './scenario.ts';

const scenario: Scenario = {
  async run({ window: shown }) {
    const before = await passesOnDisk(shown.webContents.page);
    await judge(await startClimb(shown), 1);
    await expect.poll(() => passesOnDisk(shown.webContents.page), WAIT).toBe(before + 1);
    const dead = shown.webContents.page;
    shown.webContents.forcefullyCrashRenderer();
    await expect.poll(() => record.messageBoxes.length, WAIT).toBe(1);
    expect(record.messageBoxes[0]).toMatchObject({ buttons: ['Open again', 'Quit'] });
    await expect.poll(() => [...record.blockers], WAIT).toEqual([]);
    await expect.poll(() => shown.webContents.page !== dead, WAIT).toBe(true);
    const { page } = shown.webContents;
    await expect(page).toHaveTitle(/Rungwise/, WAIT);
    expect(await passesOnDisk(page)).toBe(before + 1);

    user.messageBox = () => Promise.resolve({ response: 1 });
    shown.webContents.forcefullyCrashRenderer();
    await expect.poll(() => app.quitting, WAIT).toBe(true);
  },
};

export default scenario;

// A climb of two passes to disk; the menu asks before it leaves; display and speed are given back in every way out.
import { expect } from '@playwright/test';
import { record, user } from '../standin/record.ts';
import { choose } from '../standin/shell.ts';
import {
  expectNoComplaints,
  judge,
  passesOnDisk,
  reload,
  type Scenario,
  startClimb,
  WAIT,
} from './scenario.ts';

const awake = (): string[] => [...record.blockers.values()];

const scenario: Scenario = {
  async run({ window: shown }) {
    const before = await passesOnDisk(shown.webContents.page);
    const page = await startClimb(shown);
    await judge(page, 1);
    await judge(page, 2);
    await expect.poll(() => passesOnDisk(page), WAIT).toBe(before + 2);
    expect(awake()).toEqual(['prevent-display-sleep']);
    await expect.poll(() => record.throttling.at(-1), WAIT).toBe(false);

    choose('Rooms', 'History');
    await expect.poll(() => record.messageBoxes.length, WAIT).toBe(1);
    expect(record.messageBoxes[0]).toMatchObject({ buttons: ['Keep climbing', 'Leave'] });
    await expect(page.getByRole('region', { name: 'Stage' })).toBeVisible(WAIT);

    choose('View', 'Reload');
    await expect.poll(() => record.messageBoxes.length, WAIT).toBe(2);
    expect(awake()).toHaveLength(1);

    user.messageBox = () => Promise.resolve({ response: 1 });
    choose('Rooms', 'History');
    await expect(page).toHaveTitle('History · Rungwise', WAIT);
    await expect.poll(awake, WAIT).toEqual([]);
    await expect.poll(() => record.throttling.at(-1), WAIT).toBe(true);
    expect(await passesOnDisk(page)).toBe(before + 2);

    await startClimb(shown);
    await expect.poll(awake, WAIT).toHaveLength(1);
    await reload(shown);
    await expect.poll(awake, WAIT).toEqual([]);

    await startClimb(shown);
    await expect.poll(awake, WAIT).toHaveLength(1);
    choose('Help', 'Keys');
    await expect(page.locator('dialog[open]')).toBeVisible(WAIT);
    choose('Rooms', 'Today');
    await expect(page.locator('dialog[open]')).toBeVisible(WAIT);
    expectNoComplaints();
  },
};

export default scenario;

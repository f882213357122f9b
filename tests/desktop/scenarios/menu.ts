// Every item of the menu does what it says; the rooms are gone through in `first-screen.ts`.
import { expect, type Page } from '@playwright/test';
import { record } from '../standin/record.ts';
import { choose, menuItems } from '../standin/shell.ts';
import { CHART } from '../../support/short-ladder.ts';
import { expectNoComplaints, type Scenario, WAIT } from './scenario.ts';

const go = (page: Page, hash: string): Promise<void> =>
  page.evaluate((hash) => void (location.hash = hash), hash);

const dialog = (page: Page) => page.locator('dialog[open]');

async function closeDialog(page: Page): Promise<void> {
  await page.keyboard.press('Escape');
  await expect(dialog(page)).toHaveCount(0, WAIT);
}

const title = (page: Page, room: string): Promise<void> =>
  expect(page).toHaveTitle(`${room} · Rungwise`, WAIT);

/** Items by their labels, each with what is seen after it was chosen. */
const DOES = new Map<string, (page: Page) => Promise<void>>([
  [
    'File › New chart',
    async (page) => {
      await expect(dialog(page)).toContainText('A new chart', WAIT);
      await closeDialog(page);
    },
  ],
  [
    'File › Import chart …',
    async (page) => {
      await expect(dialog(page)).toContainText('Bring in charts', WAIT);
      await closeDialog(page);
    },
  ],
  [
    'File › Export chart …',
    (page) =>
      expect(page.getByText('Open the chart that is to be exported').first()).toBeVisible(WAIT),
  ],
  [
    'File › Print …',
    (page) => expect(page.getByText('There is nothing for paper here').first()).toBeVisible(WAIT),
  ],
  ['File › Settings', (page) => title(page, 'Sound & care')],
  ['View › Reload', (page) => title(page, 'Sound & care')],
  [
    'Help › Handbook',
    // The page that is just loading again does not hear the menu yet.
    (page) =>
      expect(async () => {
        choose('Help', 'Handbook');
        await expect(page).toHaveTitle('Handbook · Rungwise', { timeout: 3000 });
      }).toPass(WAIT),
  ],
  [
    'Help › Keys',
    async (page) => {
      await expect(dialog(page)).toBeVisible(WAIT);
      await closeDialog(page);
    },
  ],
]);

const scenario: Scenario = {
  async run({ page }) {
    await expect(page).toHaveTitle(/Rungwise/, WAIT);
    const labels = menuItems().map((item) => item.labels.join(' › '));
    const others = labels.filter((label) => !/^(Rooms|File › Open recent) › /.test(label));
    expect(others.sort()).toEqual([...DOES.keys()].sort());
    for (const [label, seen] of DOES) {
      choose(...label.split(' › '));
      await seen(page);
    }

    await go(page, `#/charts/${CHART}`);
    await title(page, 'Charts');
    await expect(page.locator('main h1')).toBeVisible(WAIT);
    choose('File', 'Export chart …');
    await expect(dialog(page)).toBeVisible(WAIT);
    await closeDialog(page);
    expect(record.errorBoxes).toEqual([]);
    expectNoComplaints();
  },
};

export default scenario;

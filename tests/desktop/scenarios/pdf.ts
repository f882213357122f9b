// The lesson sheet as PDF: saved, given up, and told in words where the place cannot be written.
import fs from 'node:fs';
import path from 'node:path';
import { expect } from '@playwright/test';
import { user } from '../standin/record.ts';
import { choose } from '../standin/shell.ts';
import { expectNoComplaints, type Scenario, WAIT } from './scenario.ts';

const scenario: Scenario = {
  async run({ page, data }) {
    choose('Rooms', 'Lesson sheet');
    await expect(page).toHaveTitle('Lesson sheet · Rungwise', WAIT);
    const print = async (filePath: string, canceled = false): Promise<void> => {
      const asked = new Promise<void>((done) => {
        user.saveDialog = () => (done(), Promise.resolve({ canceled, filePath }));
      });
      choose('File', 'Print …');
      await asked;
    };
    await expect(page.locator('main h1')).toBeVisible(WAIT);

    const file = path.join(data, 'sheet.pdf');
    await print(file, true);
    expect(fs.existsSync(file)).toBe(false);

    await print(file);
    await expect
      .poll(() => fs.existsSync(file) && fs.statSync(file).size, WAIT)
      .toBeGreaterThan(1000);
    expect(fs.readFileSync(file).toString('latin1', 0, 5)).toBe('%PDF-');
    await expect(page.getByText(`Saved as ${file}`).first()).toBeVisible(WAIT);

    await print(path.join(data, 'no such folder', 'sheet.pdf'));
    await expect(page.getByText('The sheet could not be saved').first()).toBeVisible(WAIT);
    expectNoComplaints();
  },
};

export default scenario;

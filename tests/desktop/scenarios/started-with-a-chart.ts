// The very first start, by a double click on a chart: it comes in and is shown.
import { expect } from '@playwright/test';
import { expectNoComplaints, type Scenario, titlesOf, WAIT, writeChart } from './scenario.ts';

const scenario: Scenario = {
  before: ({ data }) => Promise.resolve([writeChart(data, 'Given')]),
  async run({ page }) {
    await expect.poll(() => titlesOf(page), WAIT).toContain('Given');
    await expect(page).toHaveTitle('Charts · Rungwise', WAIT);
    await expect(page.getByText('‘Given’ was brought in.').first()).toBeVisible(WAIT);
    expectNoComplaints();
  },
};

export default scenario;

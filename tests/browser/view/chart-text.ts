// The text of a chart, where it is typed.
import type { Locator, Page } from '@playwright/test';

export const chartText = (page: Page): Locator =>
  page.getByRole('textbox', { name: 'Text of the chart' });

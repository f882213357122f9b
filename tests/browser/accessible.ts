// axe-core on what is on the page: as it is, or in light and in dark.
import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from '@playwright/test';
import { expect } from './host.ts';

/** What axe finds, as "rule: place". */
export async function violationsOn(page: Page): Promise<string[]> {
  const { violations } = await new AxeBuilder({ page }).analyze();
  return violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.target.join(' ')}`));
}

export async function expectAccessible(page: Page): Promise<void> {
  for (const colorScheme of ['light', 'dark'] as const) {
    // A colour half-way through its transition is nobody's colour.
    await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
    expect(await violationsOn(page), colorScheme).toEqual([]);
  }
}

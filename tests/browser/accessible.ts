// axe-core on what is on the page: as it is, or in light and in dark.
import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from '@playwright/test';
import { expect } from './host.ts';

/** The only rules that a dark page can break where the same page in light breaks none. */
const COLOUR_RULES = ['color-contrast', 'link-in-text-block'];

/** What axe finds, as "rule: place": every rule in light, those of colour in dark. */
export async function violationsOn(page: Page): Promise<string[]> {
  const dark = await page.evaluate(() => matchMedia('(prefers-color-scheme: dark)').matches);
  const axe = new AxeBuilder({ page });
  const { violations } = await (dark ? axe.withRules(COLOUR_RULES) : axe).analyze();
  return violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.target.join(' ')}`));
}

export async function expectAccessible(page: Page): Promise<void> {
  for (const colorScheme of ['light', 'dark'] as const) {
    // A colour half-way through its transition is nobody's colour.
    await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
    expect(await violationsOn(page), colorScheme).toEqual([]);
  }
}

// axe-core on what is on the page: as it is, or in light and in dark.
import { AxeBuilder } from '@axe-core/playwright';
import type { Page } from '@playwright/test';
import { expect } from './host.ts';

/** The only rules that a dark page can break where the same page in light breaks none. */
const COLOUR_RULES = ['color-contrast', 'link-in-text-block'];

/** What axe finds, as "rule: place": every rule in light, those of colour in dark. */
export async function violationsOn(page: Page): Promise<string[]> {
  const { dark, known } = await page.evaluate(() => ({
    dark: matchMedia('(prefers-color-scheme: dark)').matches,
    known: 'axe' in window,
  }));
  // Half a megabyte of axe is sent to a page once; the builder would send it twice for each look.
  const { violations } = await new AxeBuilder({ page, ...(known && { axeSource: 'undefined' }) })
    .options({
      resultTypes: ['violations'],
      // Only a rule that is not asked for would need the style sheets fetched and read once more.
      preload: false,
      ...(dark && { runOnly: { type: 'rule', values: COLOUR_RULES } }),
    })
    // The view has no frames, so there are no results to be joined in a page of their own.
    .setLegacyMode()
    .analyze();
  return violations.flatMap((v) => v.nodes.map((n) => `${v.id}: ${n.target.join(' ')}`));
}

/** The same page in light and then in dark, as "light, rule: place"; it is left in light. */
export async function violationsInBoth(page: Page): Promise<string[]> {
  const found: string[] = [];
  for (const colorScheme of ['dark', 'light'] as const) {
    // A colour half-way through its transition is nobody's colour.
    await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
    found.push(...(await violationsOn(page)).map((violation) => `${colorScheme}, ${violation}`));
  }
  return found;
}

export async function expectAccessible(page: Page): Promise<void> {
  expect(await violationsInBoth(page)).toEqual([]);
}

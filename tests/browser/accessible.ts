// axe-core on what is on the page: as it is, or in light and in dark.
import fs from 'node:fs';
import { createRequire } from 'node:module';
import type axeCore from 'axe-core';
import type { Page } from '@playwright/test';
import { expect } from './host.ts';

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');

/** The only rules that a dark page can break where the same page in light breaks none. */
const COLOUR_RULES = ['color-contrast', 'link-in-text-block'];

declare global {
  var axe: typeof axeCore;
}

/** What axe finds, as "rule: element": every rule in light, those of colour in dark. */
export async function violationsOn(page: Page): Promise<string[]> {
  if (!(await page.evaluate(() => 'axe' in globalThis))) {
    await page.evaluate(fs.readFileSync(AXE, 'utf8'));
  }
  return page.evaluate(look, COLOUR_RULES);
}

/** In the page. Rules of colour cost most of a look, so that they are asked for one of all texts that look alike. */
async function look(colourRules: string[]): Promise<string[]> {
  const found = async (context: axeCore.ElementContext, which: axeCore.RunOptions) => {
    // Nothing is needed of what was passed, nor style sheets fetched and read once more.
    const options = { resultTypes: ['violations' as const], preload: false, selectors: false };
    const { violations } = await axe.run(context, { ...options, ...which });
    return violations.flatMap(({ id, nodes }) => nodes.map(({ html }) => `${id}: ${html}`));
  };
  const off = Object.fromEntries(colourRules.map((rule) => [rule, { enabled: false }]));
  const others = matchMedia('(prefers-color-scheme: dark)').matches
    ? []
    : await found(document, { rules: off });
  const ofColour = await found(
    { include: textsThatDiffer() },
    { runOnly: { type: 'rule', values: colourRules } },
  );
  return [...others, ...ofColour];

  /** The first of all texts of one colour, size and class over the same grounds, with the same elements around them. */
  function textsThatDiffer(): Element[] {
    const looks = new Map<string, number>();
    const first = new Map<number, Element>();
    const walk = (elements: Iterable<Element>, around: number): void => {
      for (const element of elements) {
        if (!element.checkVisibility()) continue;
        const css = getComputedStyle(element);
        const style = [
          ...[around, element.tagName, element.getAttribute('class')],
          ...[css.color, css.fontSize, css.fontWeight, css.textDecorationLine],
          ...[css.backgroundColor, css.backgroundImage, css.opacity],
          element.matches(':disabled, [aria-disabled="true"], [inert]'),
        ].join();
        const look = looks.get(style) ?? looks.size;
        looks.set(style, look);
        if (hasText(element) && !first.has(look)) first.set(look, element);
        walk(element.shadowRoot?.children ?? [], look);
        walk(element.children, look);
      }
    };
    walk(document.body.children, -1);
    return [...first.values()];
  }

  function hasText(element: Element): boolean {
    const texts = [...element.childNodes].filter(({ nodeType }) => nodeType === Node.TEXT_NODE);
    return (
      texts.some(({ nodeValue }) => nodeValue!.trim() !== '') ||
      element.matches('input, select, textarea')
    );
  }
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

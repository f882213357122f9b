// axe-core on what is on the page: as it is, or in light and in dark.
import fs from 'node:fs';
import { createRequire } from 'node:module';
import type axeCore from 'axe-core';
import type { Locator, Page } from '@playwright/test';
import { expect } from './host.ts';

const AXE = createRequire(import.meta.url).resolve('axe-core/axe.min.js');

/** The only rules that a dark page can break where the same page in light breaks none. */
const COLOUR_RULES = ['color-contrast', 'link-in-text-block'];

declare global {
  var axe: typeof axeCore;
}

/** How the texts look that rules of colour have been asked about, on any page of this process. */
const asked = new Set<string>();

/**
 * What axe finds, as "rule: element": every rule in light, those of colour in dark.
 * @param within What alone has changed since the page was looked at; of a modal dialog nothing behind it can be reached.
 */
export async function violationsOn(page: Page, within?: Locator): Promise<string[]> {
  if (!(await page.evaluate(() => 'axe' in globalThis))) {
    await page.evaluate(fs.readFileSync(AXE, 'utf8'));
  }
  const { violations, kinds } = await (within ?? page.locator('html')).evaluate(look, {
    colourRules: COLOUR_RULES,
    asked: [...asked],
  });
  for (const kind of kinds) asked.add(kind);
  return violations;
}

/** In the page. Rules of colour cost most of a look, so that they are asked for one of all texts that look alike. */
async function look(
  part: Element,
  { colourRules, asked }: { colourRules: string[]; asked: string[] },
): Promise<{ violations: string[]; kinds: string[] }> {
  const seen = part.querySelector('dialog:modal') ?? part;
  const off = Object.fromEntries(colourRules.map((rule) => [rule, { enabled: false }]));
  const dark = matchMedia('(prefers-color-scheme: dark)').matches;
  const others = dark ? [] : (await run([seen], { rules: off })).violations;
  const kinds = newTexts();
  const violations = [...others, ...(await violationsOfColour([...kinds.values()]))].flatMap(
    ({ id, nodes }) => nodes.map(({ html }) => `${id}: ${html}`),
  );
  return { violations, kinds: [...kinds.keys()] };

  function run(include: Element[], which: axeCore.RunOptions): Promise<axeCore.AxeResults> {
    const options = { preload: false, selectors: false, elementRef: true, ...which };
    // Neither is told what was passed, nor are places named, nor style sheets fetched and read once more.
    return axe.run({ include }, { resultTypes: ['violations', 'incomplete'], ...options });
  }

  /** Where axe cannot say anything of a text, which is partly covered perhaps, it is asked for all that look like it. */
  async function violationsOfColour(kinds: Element[][]): Promise<axeCore.Result[]> {
    const first = await ofColour(kinds.map(([text]) => text!));
    const unsaid = new Set(first.incomplete.flatMap(({ nodes }) => nodes.map((n) => n.element)));
    const open = kinds.filter(([text]) => unsaid.has(text as HTMLElement));
    const then = await ofColour(open.flatMap(([, ...alike]) => alike));
    return [...first.violations, ...then.violations];
  }

  function ofColour(
    texts: Element[],
  ): Promise<Pick<axeCore.AxeResults, 'violations' | 'incomplete'>> {
    if (texts.length === 0) return Promise.resolve({ violations: [], incomplete: [] });
    return run(texts, { runOnly: { type: 'rule', values: colourRules } });
  }

  /**
   * All texts, in groups of one colour, size, class and ground, the longest first; none that looks like one of an
   * earlier look.
   */
  function newTexts(): Map<string, Element[]> {
    const before = new Set(asked);
    const alike = new Map<string, Element[]>();
    const walk = (elements: Iterable<Element>, under: string, around: string): void => {
      for (const element of elements) {
        const css = getComputedStyle(element);
        if (!element.checkVisibility() && css.display !== 'contents') continue;
        const out = element.matches(':disabled, [aria-disabled="true"], [inert]') ? 'out' : '';
        const own = [css.backgroundColor, css.backgroundImage, css.opacity, out].join();
        const ground = own === BARE ? under : `${under}; ${own}`;
        const text = [css.color, css.fontSize, css.fontWeight, css.textDecorationLine];
        const name = [element.tagName, element.getAttribute('class')];
        const looks = [ground, around, ...text, ...name].join();
        // axe finds no fault with a single letter.
        if (lengthOf(element) > 1 && !before.has(looks)) {
          alike.set(looks, [...(alike.get(looks) ?? []), element]);
        }
        walk(element.shadowRoot?.children ?? [], ground, css.color);
        walk(element.children, ground, css.color);
      }
    };
    const BARE = 'rgba(0, 0, 0, 0),none,1,';
    walk([seen], '', '');
    for (const texts of alike.values()) texts.sort((a, b) => lengthOf(b) - lengthOf(a));
    return alike;
  }

  function lengthOf(element: Element): number {
    if (element.matches('input, select, textarea')) return Infinity;
    const texts = [...element.childNodes].filter(({ nodeType }) => nodeType === Node.TEXT_NODE);
    return texts.map(({ nodeValue }) => nodeValue!.trim()).join('').length;
  }
}

/** The same page in light and then in dark, as "light, rule: element"; it is left in light. */
export async function violationsInBoth(page: Page, within?: Locator): Promise<string[]> {
  const found: string[] = [];
  for (const colorScheme of ['dark', 'light'] as const) {
    // A colour half-way through its transition is nobody's colour.
    await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
    const violations = await violationsOn(page, within);
    found.push(...violations.map((violation) => `${colorScheme}, ${violation}`));
  }
  return found;
}

export async function expectAccessible(page: Page): Promise<void> {
  expect(await violationsInBoth(page)).toEqual([]);
}

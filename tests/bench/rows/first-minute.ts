// The first minutes of a new player in Chromium, from a fresh start to the flag, with somebody who answers at once.
import type { Page } from '@playwright/test';
import type { BenchRow } from '../bench.ts';
import { withPage } from './view.ts';

interface FirstMinutes {
  /** Presses until the count-in sounds. */
  readonly presses: number;
  /** Seconds from opening the address: the first verdict, the first rung up, the top of the ladder. */
  readonly verdict: number;
  readonly rung: number;
  readonly top: number;
}

const played = (() => {
  let once: Promise<FirstMinutes> | undefined;
  return () => (once ??= play());
})();

/** A press as a finger makes it, and no echo of the one before. */
const DOWN_MS = 80;
const APART_MS = 400;

const play = (): Promise<FirstMinutes> =>
  withPage(async (page, host) => {
    const from = Date.now();
    const seconds = (): number => (Date.now() - from) / 1000;
    await page.goto(`${host.address}#/today`);
    await page.getByRole('heading', { name: 'Take your guitar' }).waitFor();
    const presses = await pressUntilCounted(page);
    const ladder = page
      .getByRole('region', { name: 'Stage' })
      .getByRole('img', { name: /^Ladder/ });
    const start = await ladder.getAttribute('aria-label');
    const times: { verdict?: number; rung?: number } = {};
    for (let pass = 1; ; pass++) {
      const asked = page.getByRole('group', { name: `How was pass ${pass}?` });
      const over = page.getByRole('heading', { name: 'The flag is planted.' });
      await asked.or(over).waitFor({ timeout: 120_000 });
      if (await over.isVisible()) break;
      await page.keyboard.press('ArrowUp', { delay: DOWN_MS });
      times.verdict ??= seconds();
      if (times.rung === undefined && (await ladder.getAttribute('aria-label')) !== start) {
        times.rung = seconds();
      }
    }
    return { presses, verdict: times.verdict!, rung: times.rung!, top: seconds() };
  });

async function pressUntilCounted(page: Page): Promise<number> {
  const counted = page.getByText(/count-in at/);
  for (let presses = 1; ; presses++) {
    await page.keyboard.press('Space', { delay: DOWN_MS });
    await page.getByRole('dialog').or(counted).first().waitFor();
    await page.waitForTimeout(APART_MS);
    if (await counted.isVisible()) return presses;
  }
}

const row = (
  name: string,
  what: string,
  unit: string,
  of: (one: FirstMinutes) => number,
  most: number,
): BenchRow => ({
  ...{ name: `first-${name}`, what, unit, goal: { at: '<=', value: most } },
  measure: async () => ({ value: of(await played()) }),
});

export const rows: BenchRow[] = [
  row(
    'presses',
    'presses from a fresh start to the first count-in',
    'presses',
    (f) => f.presses,
    2,
  ),
  row('verdict', 'from a fresh start to the first verdict', 's', (f) => f.verdict, 25),
  row('rung', 'from a fresh start to the first rung up', 's', (f) => f.rung, 45),
  row('top', 'from a fresh start to the top of a first ladder', 's', (f) => f.top, 180),
];

// The steps of a player through a climb that ends within seconds.
import type { Locator, Page } from '@playwright/test';
import type { CallInput, Passes } from '../../../app/services/contract/contract.ts';
import type { Settings } from '../../../app/services/contract/settings.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import { SHORT_LADDER } from '../../support/short-ladder.ts';
import { expect, type TestHost } from '../host.ts';

/** Asks the machine side, which must not refuse. */
export async function handle(host: TestHost, name: string, input: unknown): Promise<unknown> {
  const answer = await host.services.handle(name, input);
  expect(answer).toMatchObject({ ok: true });
  return answer.ok ? answer.value : undefined;
}

type Ladder = CallInput<'ladders.save'>;

interface ShortClimb {
  /** What of the ladder is another than in the usual one. */
  readonly ladder?: Partial<Omit<Ladder, 'rules'>> & { readonly rules?: Partial<Ladder['rules']> };
  /** A chart of its own, to be in the library. */
  readonly chart?: Chart;
  readonly settings?: Partial<Settings>;
  /** The words of care before the first sound come first. */
  readonly careUnread?: boolean;
}

/** The set-up with the short ladder, or with another one. */
export async function openShortClimb(
  page: Page,
  host: TestHost,
  { ladder: other = {}, chart, settings, careUnread = false }: ShortClimb = {},
): Promise<void> {
  if (chart) await handle(host, 'charts.save', { chart });
  const rules = { ...SHORT_LADDER.rules, ...other.rules };
  const ladder = { ...SHORT_LADDER, ...(chart && { chart: chart.id }), ...other, rules };
  await handle(host, 'ladders.save', ladder);
  const shown = careUnread ? [] : ['care-before-first-sound' as const];
  await handle(host, 'settings.write', { patch: { shown, ...settings } });
  await page.goto(`${host.address}#/climb/${ladder.chart}/${encodeURIComponent(ladder.unit)}`);
  await expect(page.getByRole('button', { name: 'Climb', exact: true })).toBeEnabled();
}

/** Sees what stands for a moment only, such as a count-in: looks more often than an expectation does. */
export const glimpse = (what: Locator): Promise<void> => what.first().waitFor();

/** The question after one pass, or after any. */
export const verdicts = (page: Page, pass?: number) =>
  page.getByRole('group', { name: pass === undefined ? /How was pass/ : `How was pass ${pass}?` });

/** For who judges by {@link judgeNext}: the time to answer is these bars and the count-in after them. */
export const SHORT_REST = { restBars: 2 } as const;

/** How often the page looks for the question, in milliseconds. */
const LOOKS_EVERY = 60;

/** Judges the next pass by its key as soon as it may be judged. */
export async function judgeNext(page: Page, pass: number, key: 'ArrowUp' | 'ArrowDown') {
  await page.waitForFunction(
    (question) => document.querySelector(`[role="group"][aria-label="${question}"]`) !== null,
    `How was pass ${pass}?`,
    { polling: LOOKS_EVERY },
  );
  await page.keyboard.press(key);
}

/** Presses Tab until the control has the focus, as somebody without a mouse does. */
export async function tabTo(page: Page, control: Locator): Promise<void> {
  for (let presses = 0; presses < 120; presses++) {
    if (await control.evaluate((e) => e === document.activeElement)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error('the control is out of reach of the Tab key');
}

export async function logged(host: TestHost): Promise<readonly PassRecord[]> {
  return ((await handle(host, 'log.passes', {})) as Passes).passes;
}

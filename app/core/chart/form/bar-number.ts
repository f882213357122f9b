// What a bar is counted as: a pickup has no number, and bar 1 follows it.
import type { Bar } from '../../model/chart.ts';

type Numbered = readonly Pick<Bar, 'pickup'>[];

/** How many written bars of the section come before bar 1: 1 where it starts with a pickup. */
export const unnumbered = (bars: Numbered): 0 | 1 => (bars[0]?.pickup ? 1 : 0);

/** The number of the bar at `index` (from 0); 0 is the pickup. */
export const barNumber = (bars: Numbered, index: number): number => index + 1 - unnumbered(bars);

/** "bar 7 of ‘Bridge’", "the pickup of ‘Bridge’". */
export const barName = (number: number, section: string): string =>
  number === 0 ? `the pickup of ‘${section}’` : `bar ${number} of ‘${section}’`;

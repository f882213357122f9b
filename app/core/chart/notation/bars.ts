// Reads typed lines of bars, each bar in the meter that holds where it stands.
import { MAX_SECTION_BARS } from '../../model/limits.ts';
import type { Meter } from '../../model/chart.ts';
import { barName } from '../form/bar-number.ts';
import { type BuiltBar, buildBar } from './bar-build.ts';
import { splitBars } from './bar-lines.ts';
import type { Findings } from './findings.ts';
import type { Value } from './lines.ts';

export interface BarsPlace {
  readonly section: string;
  /** The meter before the first of them. */
  readonly meter: Meter;
  /** Which bar of its section the first one is, from 1. */
  readonly from: number;
  /** 1 where a pickup without a number stands before them. */
  readonly skip: 0 | 1;
}

/** One bar more than a section may have is read, so that its rules can say so. */
export function readBars(
  lines: readonly Value[],
  { section, meter: start, from, skip }: BarsPlace,
  found: Findings,
): BuiltBar[] {
  let meter = start;
  const typed = splitBars(lines).slice(0, MAX_SECTION_BARS + 1);
  return typed.map((bar, i) => {
    const built = buildBar(bar, meter, barName(from + i - skip, section));
    meter = built.meter;
    found.problems.push(...built.problems);
    found.advice.push(...built.advice);
    return built;
  });
}

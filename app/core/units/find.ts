// Finds a practised unit again after its chart was edited, and says in words what became of it.
import { barContent } from './bars/fingerprint.ts';
import type { Chart } from '../model/chart.ts';
import type { LoggedBar, Unit, UnitRef } from '../model/unit.ts';
import { loggedBar } from './bars/logged-bars.ts';
import { kindOf } from './kinds.ts';
import { parseUnitKey } from './keys.ts';
import { listUnits, resolveUnit } from './resolve.ts';

export type FoundUnit =
  /** Same place, same bars. */
  | { readonly kind: 'same'; readonly unit: Unit; readonly words: string }
  /** Same bars under another name or at another place: its history goes on there. */
  | { readonly kind: 'moved'; readonly unit: Unit; readonly words: string }
  /** Same place, other bars. `sameBars` of `ofBars` bars are as they were, where the old ones are known. */
  | {
      readonly kind: 'changed';
      readonly unit: Unit;
      readonly sameBars?: number;
      readonly ofBars?: number;
      readonly words: string;
    }
  | { readonly kind: 'gone'; readonly words: string };

/**
 * `oldBars` are the bars as they were practised (the log keeps them); with them a changed unit says
 * how much of it is as before. Equal music elsewhere counts before changed music at the old place.
 */
export function findUnitAgain(
  chart: Chart,
  key: string,
  fingerprint: string,
  oldBars?: readonly LoggedBar[],
): FoundUnit {
  const ref = parseUnitKey(key);
  const here = ref.ok ? resolveUnit(chart, ref.value) : ref;
  if (here.ok && here.value.fingerprint === fingerprint) {
    return { kind: 'same', unit: here.value, words: `${here.value.name}: as it was.` };
  }
  const moved = ref.ok && findElsewhere(chart, ref.value, fingerprint);
  if (moved) return { kind: 'moved', unit: moved, words: `The same bars are now ${moved.name}.` };
  if (here.ok) return changedUnit(here.value, oldBars);
  const why = here.problems[0]!;
  return { kind: 'gone', words: `Gone from this chart: ${why.message}. Its history stays.` };
}

/** Units of the same kind with the same music, the chart's own list first. */
function findElsewhere(chart: Chart, ref: UnitRef, fingerprint: string): Unit | undefined {
  const listed = listUnits(chart, ref.kind);
  const found = listed.find((unit) => unit.fingerprint === fingerprint);
  if (found) return found;
  for (const other of kindOf(ref.kind).placesLike(chart, ref)) {
    const unit = resolveUnit(chart, other);
    if (unit.ok && unit.value.fingerprint === fingerprint) return unit.value;
  }
  return undefined;
}

function changedUnit(unit: Unit, oldBars: readonly LoggedBar[] | undefined): FoundUnit {
  if (!oldBars || oldBars.length === 0) {
    return {
      kind: 'changed',
      unit,
      words: `${unit.name} was edited: it starts a history of its own.`,
    };
  }
  const before = contents(oldBars);
  const after = contents(unit.bars.map(loggedBar));
  const sameBars = longestCommon(before, after);
  const words =
    `${unit.name} was edited: ${sameBars} of ${after.length} bars are as before. ` +
    'It starts a history of its own; the old one stays.';
  return { kind: 'changed', unit, sameBars, ofBars: after.length, words };
}

const contents = (bars: readonly LoggedBar[]): string[] =>
  bars.map((bar) => barContent(bar, bars[0]!.tempo));

/** Length of the longest common subsequence, so that an inserted bar costs one bar and not all after it. */
function longestCommon(a: readonly string[], b: readonly string[]): number {
  let row = new Array<number>(b.length + 1).fill(0);
  for (const item of a) {
    const next = [0];
    b.forEach((other, j) => {
      next.push(item === other ? row[j]! + 1 : Math.max(row[j + 1]!, next[j]!));
    });
    row = next;
  }
  return row[b.length]!;
}

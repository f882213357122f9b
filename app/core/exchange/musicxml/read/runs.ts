// Cuts a sheet into runs: one time through one section each, in the order in which they are played.
import { same } from '../../../base/same.ts';
import type { Problem } from '../../../base/result.ts';
import { MAX_NAME } from '../../../model/limits.ts';
import { isName } from '../../../chart/rules/names.ts';
import { type FollowedJumps, followJumps } from './jumps.ts';
import { repeatOrder } from './repeat-order.ts';
import { type SheetBar, repeatStarts } from '../sheet.ts';

/** Bars that belong together: one time through one section. */
export interface Run {
  readonly name: string;
  readonly bars: readonly SheetBar[];
}

export interface Runs {
  readonly runs: readonly Run[];
  readonly warnings: readonly Problem[];
}

/** At every heading, where tempo or feel change, since a section has one of each, and where jumps lead. */
export function cutIntoRuns(typed: readonly SheetBar[]): Runs {
  const starts = repeatStarts(typed);
  const signed = typed.map((bar, i) => ({ ...bar, repeatStart: starts.has(i) || bar.repeatStart }));
  const whole = repeatOrder(signed);
  const jumps: FollowedJumps = whole ? followJumps(signed) : withoutOrder(signed);
  const bars = signed.map(withoutJumps);
  const sections = sectionsOf(bars, jumps.cuts);
  const { warnings } = jumps;
  if (jumps.order) return { runs: playedRuns(bars, sections, jumps.order), warnings };
  if (sections.every(({ from, to }) => repeatOrder(bars.slice(from, to))))
    return { runs: sections.map((section) => signedRun(bars, section)), warnings };
  if (whole) return { runs: playedRuns(bars, sections, whole), warnings };
  const written = bars.map((_, i) => i);
  const all = [unfollowed, ...warnings];
  return { runs: playedRuns(bars.map(withoutSigns), sections, written), warnings: all };
}

/** Jumps need repeats that can be followed. */
function withoutOrder(bars: readonly SheetBar[]): FollowedJumps {
  const jump = bars.findIndex((bar) => bar.jumps?.back);
  const warning: Problem = {
    code: 'musicxml-jump',
    message: `the jump in bar ${jump + 1} is not followed, since the repeat signs contradict each other`,
    cure: 'Check the form of the chart.',
  };
  return { cuts: new Map(), warnings: jump < 0 ? [] : [warning] };
}

const unfollowed: Problem = {
  code: 'musicxml-repeats',
  message: 'the repeat signs of the file cannot all be followed',
  cure: 'Check the repeats and the form of the chart.',
};

const withoutJumps = ({ jumps: _jumps, afterJump: _after, ...bar }: SheetBar): SheetBar => bar;

/** The bar without its repeats and endings. */
export const withoutSigns = ({
  repeatEnd: _end,
  endings: _endings,
  ...plain
}: SheetBar): SheetBar => ({ ...plain, repeatStart: false });

/** The bars of a section on paper, `to` excluded. */
interface PaperSection {
  readonly name: string;
  readonly from: number;
  readonly to: number;
}

const signedRun = (bars: readonly SheetBar[], { name, from, to }: PaperSection): Run => ({
  name,
  bars: bars.slice(from, to),
});

function sectionsOf(
  bars: readonly SheetBar[],
  cuts: ReadonlyMap<number, string | undefined>,
): readonly PaperSection[] {
  const names = sectionNames(bars, cuts);
  const starts = bars.flatMap(({ heading }, i) =>
    i === 0 || heading !== undefined || names[i] !== names[i - 1] ? [i] : [],
  );
  return starts.map((from, i) => ({ name: names[from]!, from, to: starts[i + 1] ?? bars.length }));
}

/**
 * Runs of a playing order that jumps. A section that is played as its own signs say keeps them; of others
 * the bars are written out, also of one that is repeated as a whole, so that the form says how often.
 */
function playedRuns(
  bars: readonly SheetBar[],
  sections: readonly PaperSection[],
  order: readonly number[],
): Run[] {
  const runs: Run[] = [];
  const orders = sections.map((section) => ownOrder(bars, section));
  for (let i = 0; i < order.length;) {
    const at = sections.findLastIndex(({ from }) => from <= order[i]!);
    const section = sections[at]!;
    const own = orders[at];
    if (own?.every((index, n) => order[i + n] === index)) {
      runs.push(signedRun(bars, section));
      i += own.length;
      continue;
    }
    const end = endOfStretch(order, i, section);
    const stretch = order.slice(i, end).map((index) => withoutSigns(bars[index]!));
    runs.push({ name: section.name, bars: stretch });
    i = end;
  }
  return runs;
}

/** Undefined without signs of its own that can be followed, or with one repeat around everything. */
function ownOrder(
  bars: readonly SheetBar[],
  { from, to }: PaperSection,
): readonly number[] | undefined {
  const own = bars.slice(from, to);
  const isSigned = own.some((bar) => bar.repeatEnd !== undefined);
  const isWhole = own.every(
    (bar, i) =>
      !bar.endings &&
      bar.repeatStart === (i === 0) &&
      (bar.repeatEnd !== undefined) === (i === own.length - 1),
  );
  return isSigned && !isWhole ? repeatOrder(own)?.map((index) => from + index) : undefined;
}

/** Where the order leaves the section or goes back; what it skips is an ending that is not played. */
function endOfStretch(order: readonly number[], start: number, { to }: PaperSection): number {
  let end = start + 1;
  while (end < order.length && order[end]! > order[end - 1]! && order[end]! < to) end++;
  return end;
}

/** The section that each bar belongs to. */
function sectionNames(
  bars: readonly SheetBar[],
  cuts: ReadonlyMap<number, string | undefined>,
): string[] {
  const headed = bars.some((bar) => bar.heading !== undefined);
  let base = headed ? 'Start' : 'Song';
  let part = 1;
  return bars.map((bar, i) => {
    const before = bars[i - 1];
    const name = bar.heading === undefined ? cuts.get(i) : readableName(bar.heading);
    const changes = before && !(same(bar.tempo, before.tempo) && same(bar.feel, before.feel));
    if (name !== undefined) [base, part] = [name, 1];
    else if (cuts.has(i) || changes) part++;
    return part === 1 ? base : `${base.slice(0, MAX_NAME - 9)} part ${part}`;
  });
}

/** Signs that would part names are left out, and so is a number of times at the end. */
function readableName(heading: string): string {
  const plain = heading
    .replace(/[[\]|,:=\s]+/gu, ' ')
    .replace(/\s[x×]\d+\s*$/u, '')
    .trim()
    .slice(0, MAX_NAME - 4)
    .trim();
  return isName(plain) ? plain : 'Section';
}

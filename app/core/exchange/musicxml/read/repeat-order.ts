// The order in which the bars of a sheet are played by their repeat signs and endings.
import type { Bar } from '../../../model/chart.ts';
import { usualTimes } from '../../../chart/notation/print.ts';
import { playOrder } from '../../../chart/form/repeats.ts';
import type { SheetBar } from '../sheet.ts';

type Signs = Pick<SheetBar, 'repeatStart' | 'repeatEnd' | 'endings'>;

/** Undefined where the signs contradict each other. Endings say how often, whatever the repeat sign says. */
export function repeatOrder(bars: readonly Signs[]): readonly number[] | undefined {
  const signs = bars.map(({ repeatStart, repeatEnd, endings }): Bar => ({
    content: { kind: 'chords', chords: [] },
    ...(repeatStart && { repeatStart: true as const }),
    ...(repeatEnd !== undefined && { repeatEnd }),
    ...(endings && { endings }),
  }));
  const usual = signs.map((bar, i) =>
    bar.repeatEnd === 2 ? { ...bar, repeatEnd: usualTimes(signs, i) } : bar,
  );
  const { order, faults } = playOrder(usual);
  return faults.length === 0 ? order : undefined;
}

/** Indexes from one bar on, each repeat taken once with its last ending, unless it says that it holds after a jump too. */
export function orderAfterJump(bars: readonly SheetBar[], from: number): readonly number[] {
  const skipped = earlierEndings(bars);
  const order: number[] = [];
  let start = 0;
  for (let index = from; index < bars.length; index++) {
    const { repeatStart, repeatEnd, afterJump } = bars[index]!;
    if (repeatStart) start = order.length;
    if (!skipped.has(index)) order.push(index);
    if (repeatEnd === undefined) continue;
    const body = order.slice(start);
    for (let time = 2; afterJump && time <= repeatEnd; time++) order.push(...body);
    start = order.length;
  }
  return order;
}

/** Bars of endings that a repeat sign closes. */
function earlierEndings(bars: readonly SheetBar[]): ReadonlySet<number> {
  const inside = new Set<number>();
  let open: number[] | undefined;
  bars.forEach(({ endings, repeatStart, repeatEnd, heading }, index) => {
    if (endings) open = [];
    else if (repeatStart || heading !== undefined) open = undefined;
    open?.push(index);
    if (repeatEnd === undefined) return;
    for (const bar of open ?? []) inside.add(bar);
    open = undefined;
  });
  return inside;
}

// Follows D.C., D.S., Fine and coda: each jump is taken once, and repeats are not taken again after it (common practice, no source).
import type { Problem } from '../../../base/result.ts';
import { MAX_PLAYED_BARS } from '../../../model/limits.ts';
import type { BackJump } from '../jump-signs.ts';
import { orderAfterJump, repeatOrder } from './repeat-order.ts';
import type { SheetBar } from '../sheet.ts';

export interface FollowedJumps {
  /** Indexes of bars as they are played; undefined where no jump is taken. */
  readonly order?: readonly number[];
  /** Bars at which a part starts that is played by itself, with its name where it has one. */
  readonly cuts: ReadonlyMap<number, string | undefined>;
  readonly warnings: readonly Problem[];
}

/** Follows da capo, dal segno, coda and fine, each once, from the first bar on. */
export function followJumps(bars: readonly SheetBar[]): FollowedJumps {
  const walk = new JumpWalk(bars);
  if (bars.some(({ jumps }) => jumps?.back)) walk.from(0);
  else walk.checkIdleSigns();
  const { order, cuts, warnings, taken } = walk;
  return { ...(taken.size > 0 && { order }), cuts, warnings };
}

/** Far more than any piece has. */
const MOST_JUMPS = 32;

/** What ends the part that is played after a jump, at a place in its order. */
type Stop =
  | { readonly kind: 'fine'; readonly at: number }
  | { readonly kind: 'through'; readonly at: number }
  | { readonly kind: 'coda'; readonly at: number; readonly coda: number };

class JumpWalk {
  readonly order: number[] = [];
  readonly cuts = new Map<number, string | undefined>();
  readonly warnings: Problem[] = [];
  /** Bars whose jump was taken. */
  readonly taken = new Set<number>();
  private readonly passed = new Set<number>();
  private readonly bars: readonly SheetBar[];

  constructor(bars: readonly SheetBar[]) {
    this.bars = bars;
  }

  from(index: number): void {
    let rest: readonly number[] | undefined = this.inOrder(index);
    // Longer than any chart may be: what is played is refused for its length.
    while (rest && this.order.length <= MAX_PLAYED_BARS) {
      const at = this.nextJump(rest);
      if (at === undefined) {
        this.order.push(...rest);
        return;
      }
      this.order.push(...rest.slice(0, at + 1));
      rest = this.jump(rest[at]!, rest.slice(at + 1));
    }
  }

  /** Plays what comes after a jump and gives what then follows; undefined at the end. */
  private jump(bar: number, following: readonly number[]): readonly number[] | undefined {
    this.passed.add(bar);
    const back = this.bars[bar]!.jumps!.back!;
    const target = back.to === 'start' ? 0 : this.mark('segno', back.label, bar);
    if (target === undefined) {
      this.warn(bar, 'says D.S., but there is no segno to go back to');
      return following;
    }
    this.taken.add(bar);
    this.cut(target);
    this.cut(bar + 1);
    const again = orderAfterJump(this.bars, target);
    const stop = this.stopIn(again, back, bar);
    this.order.push(...again.slice(0, stop.at + 1));
    if (stop.kind === 'through') return following;
    this.cut(again[stop.at]! + 1);
    if (stop.kind === 'fine') return undefined;
    this.cut(stop.coda, 'Coda');
    return this.inOrder(stop.coda);
  }

  private stopIn(again: readonly number[], { goal }: BackJump, bar: number): Stop {
    for (const [at, index] of again.entries()) {
      const { toCoda, fine } = this.bars[index]!.jumps ?? {};
      if (toCoda !== undefined && goal !== 'fine') {
        const coda = this.mark('coda', toCoda, index);
        if (coda !== undefined) return { kind: 'coda', at, coda };
        this.warn(index, 'leads to a coda, but there is none');
      }
      if (fine && goal !== 'coda') {
        if (fine === 'inside')
          this.warn(index, 'has its Fine inside: the chart ends after the bar');
        return { kind: 'fine', at };
      }
      if (index === bar) return this.withoutStop(at, goal, bar);
    }
    return this.withoutStop(again.length - 1, goal, bar);
  }

  private withoutStop(at: number, goal: BackJump['goal'], bar: number): Stop {
    if (goal === 'fine')
      this.warn(bar, 'goes back to play as far as the Fine, but none is reached');
    if (goal === 'coda')
      this.warn(bar, 'goes back to play as far as the coda sign, but none is reached');
    return { kind: 'through', at };
  }

  /** The first place where a jump is due: its bar's last time, or one that it names. */
  private nextJump(rest: readonly number[]): number | undefined {
    const last = new Map(rest.map((index, i) => [index, i]));
    const times = Map.groupBy(this.order, (index) => index);
    const counts = new Map([...times].map(([index, { length }]) => [index, length]));
    const at = rest.findIndex((index, i) => {
      const time = (counts.get(index) ?? 0) + 1;
      counts.set(index, time);
      const back = this.bars[index]!.jumps?.back;
      if (!back || this.passed.has(index)) return false;
      return back.only ? back.only.includes(time) : last.get(index) === i;
    });
    if (at >= 0 && this.passed.size >= MOST_JUMPS) {
      this.warn(rest[at]!, `has one jump too many: only the first ${MOST_JUMPS} are followed`);
      return undefined;
    }
    return at < 0 ? undefined : at;
  }

  /** By its label, else the segno before a bar or the coda after it that is nearest. */
  private mark(kind: 'segno' | 'coda', label: string, near: number): number | undefined {
    const marks = this.bars.flatMap(({ jumps }, i) =>
      jumps?.[kind] === undefined ? [] : [{ index: i, label: jumps[kind] }],
    );
    const named = marks.filter((mark) => mark.label === label);
    const all = (named.length > 0 ? named : marks).map(({ index }) => index);
    return kind === 'segno'
      ? all.findLast((index) => index <= near)
      : all.find((index) => index > near);
  }

  private inOrder(from: number): readonly number[] | undefined {
    return repeatOrder(this.bars.slice(from))?.map((index) => index + from);
  }

  private cut(index: number, name?: string): void {
    if (index > 0 && index < this.bars.length) this.cuts.set(index, name ?? this.cuts.get(index));
  }

  /** Signs that no jump leads to. */
  checkIdleSigns(): void {
    this.bars.forEach(({ jumps }, i) => {
      const early = jumps?.fine && i < this.bars.length - 1;
      if (!early && jumps?.toCoda === undefined) return;
      const sign = early ? 'a Fine' : 'a sign to the coda';
      this.warn(i, `has ${sign}, but no D.C. or D.S. goes before it`);
    });
  }

  private warn(bar: number, what: string): void {
    const message = `bar ${bar + 1} ${what}`;
    this.warnings.push({ code: 'musicxml-jump', message, cure: 'Check the form of the chart.' });
  }
}

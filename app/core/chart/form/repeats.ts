// Repeats and endings inside one section: the order in which its written bars are played.
import type { Bar } from '../../model/chart.ts';
import { MAX_REPEATS } from '../../model/limits.ts';

/** A fault at one bar (0-based) of a section; the caller adds the section's name. */
export interface RepeatFault {
  readonly bar: number;
  readonly code: string;
  /** Reads on from "bar 7 of ‘Bridge’ ". */
  readonly what: string;
  readonly cure: string;
}

interface Ending {
  readonly from: number;
  readonly times: readonly number[];
  /** Its bar with the repeat sign, and the times that the sign says. */
  to?: number;
  says?: number;
}

/** A repeated passage being read: where it goes back to, and the endings met so far. */
interface Passage {
  readonly from: number;
  readonly explicit: boolean;
  readonly endings: Ending[];
}

/** Times a passage with these endings is played: the highest time that an ending names. */
const timesOfEndings = (endings: readonly { times: readonly number[] }[]): number =>
  Math.max(...endings.flatMap((ending) => ending.times));

/**
 * Indexes of the bars in playing order, and what is wrong with the signs (then the order is
 * the written one). A repeat without a start goes back to the end of the repeat before it, or
 * to the section's start (common practice, no source).
 */
export function playOrder(bars: readonly Bar[]): { order: number[]; faults: RepeatFault[] } {
  const reader = new RepeatReader();
  bars.forEach((bar, index) => reader.read(bar, index));
  reader.finish(bars.length);
  if (reader.faults.length > 0) return { order: bars.map((_, i) => i), faults: reader.faults };
  return { order: reader.order, faults: [] };
}

class RepeatReader {
  readonly order: number[] = [];
  readonly faults: RepeatFault[] = [];
  private passage: Passage = { from: 0, explicit: false, endings: [] };

  read(bar: Bar, index: number): void {
    if (bar.repeatStart) this.start(index);
    if (bar.endings) this.passage.endings.push({ from: index, times: bar.endings });
    if (bar.repeatEnd !== undefined) this.end(bar.repeatEnd, index);
  }

  finish(length: number): void {
    const { from, explicit, endings } = this.passage;
    if (explicit && endings.length === 0) {
      this.fault(from, 'repeat-open', 'starts a repeat that never ends', 'Close it with :|.');
    }
    this.leave(length);
  }

  private start(index: number): void {
    const { from, explicit, endings } = this.passage;
    if (explicit && endings.length === 0) {
      const what = `starts a repeat inside the one from bar ${from + 1}`;
      this.fault(index, 'repeat-nested', what, 'Close the first repeat with :| before it.');
    }
    this.leave(index);
    this.passage = { from: index, explicit: true, endings: [] };
  }

  private end(times: number, index: number): void {
    const ending = this.passage.endings.at(-1);
    if (!ending) {
      this.emit(this.passage.from, index + 1, times);
      this.passage = { from: index + 1, explicit: false, endings: [] };
    } else if (ending.to === undefined) {
      ending.to = index;
      ending.says = times;
    } else {
      const cure = 'Mark the next ending, e.g. :|2. – or start a new repeat with |:.';
      this.fault(index, 'repeat-stray', 'repeats, but belongs to no ending', cure);
    }
  }

  /** The passage is over: play its body and endings, then what stands before `next` once. */
  private leave(next: number): void {
    const { from, endings } = this.passage;
    if (endings.length === 0) return this.emit(from, next, 1);
    const before = this.faults.length;
    this.checkEndings(endings);
    if (this.faults.length > before) return;
    const last = endings.at(-1)!;
    for (let time = 1; time <= timesOfEndings(endings); time++) {
      this.emit(from, endings[0]!.from, 1);
      const ending = endings.find((e) => e.times.includes(time))!;
      this.emit(ending.from, ending === last ? next : ending.to! + 1, 1);
    }
  }

  private checkEndings(endings: readonly Ending[]): void {
    this.checkTimes(endings);
    const total = timesOfEndings(endings);
    endings.forEach((ending, i) => {
      if (ending.says !== undefined && ending.says !== total) {
        const what = `repeats ${ending.says} times, though the endings make ${total}`;
        this.fault(ending.to!, 'ending-count', what, `Leave x${ending.says} out.`);
      }
      const following = endings[i + 1];
      if (following && ending.to !== following.from - 1) {
        const what = 'starts an ending that no repeat sign closes';
        this.fault(ending.from, 'ending-open', what, 'Close it with :| just before the next one.');
      }
      if (!following && ending.to !== undefined) {
        const what = 'repeats, though its ending is the last';
        this.fault(ending.to, 'ending-last', what, 'Close it with | and mark the next ending.');
      }
    });
  }

  private checkTimes(endings: readonly Ending[]): void {
    const named = endings.flatMap((ending) => ending.times);
    const total = timesOfEndings(endings);
    const everyTime = named.toSorted((a, b) => a - b).every((time, i) => time === i + 1);
    const lastTimes = endings.at(-1)!.times;
    if (named.length > 0 && everyTime && lastTimes.join() === `${total}`) return;
    const what = `has endings for the times ${named.join(', ')}`;
    const cure = 'Give every time from 1 on one ending, the last time alone at the end.';
    this.fault(endings[0]!.from, 'ending-times', what, cure);
  }

  private emit(from: number, to: number, times: number): void {
    // What is played no time or without end is told elsewhere; here it is bounded.
    const played = Math.min(Math.max(times, 1), MAX_REPEATS);
    for (let time = 0; time < played; time++) {
      for (let index = from; index < to; index++) this.order.push(index);
    }
  }

  private fault(bar: number, code: string, what: string, cure: string): void {
    this.faults.push({ bar, code, what, cure });
  }
}

// Gathers what is sung each time a section comes, and lays it under its bars as verses.
import type { Bar, BarWords, Section } from '../../../model/chart.ts';
import { MAX_VERSES } from '../../../model/limits.ts';
import type { SheetBar } from '../sheet.ts';

/** The verses of each bar one time through; undefined for a bar that was not played then. */
type Round = readonly (readonly BarWords[] | undefined)[];

export class SungRounds {
  private readonly rounds = new Map<string, Round[]>();

  /** One more time through; `bars` are the section's first ones, as far as they are its own. */
  add({ name, bars: own }: Section, bars: readonly SheetBar[]): void {
    const round = own.map((_, i) => (bars[i] ? (bars[i].words ?? []) : undefined));
    this.rounds.set(name, [...(this.rounds.get(name) ?? []), round]);
  }

  /** With as few verses as say the same: those of a chorus that is always the same stand once. */
  laidUnder(section: Section): Section {
    const rounds = this.rounds.get(section.name) ?? [];
    const period = periodOf(rounds);
    const bars = section.bars.map((bar, i): Bar => {
      const verses = versesOf(rounds.slice(0, period), i);
      return verses.length > 0 ? { ...bar, words: verses } : bar;
    });
    return { ...section, bars };
  }
}

/** After how many rounds the words begin again. */
function periodOf(rounds: readonly Round[]): number {
  for (let period = 1; period < rounds.length; period++) {
    if (rounds.every((round, r) => agree(round, rounds[r % period]!))) return period;
  }
  return rounds.length;
}

const agree = (a: Round, b: Round): boolean =>
  a.every((verses, i) => !verses || !b[i] || JSON.stringify(verses) === JSON.stringify(b[i]));

function versesOf(rounds: readonly Round[], bar: number): readonly BarWords[] {
  const most = Math.max(1, ...rounds.map((round) => round[bar]?.length ?? 0));
  const verses = rounds.flatMap((round) =>
    Array.from({ length: most }, (_, i) => round[bar]?.[i] ?? []),
  );
  const end = verses.findLastIndex((words) => words.length > 0);
  return verses.slice(0, Math.min(end + 1, MAX_VERSES));
}

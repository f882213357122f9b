// Gathers what tablature parts play in the bars of a section into its lead lines.
import type { PhraseBar, Phrase, PhraseEvent } from '../../../model/lead.ts';
import { valuesFor } from '../note-values.ts';
import type { SheetBar } from '../sheet.ts';

/** One line for each name, from the first bar in which one of its parts plays; rests fill what lies between. */
export function phrasesOf(bars: readonly SheetBar[]): readonly Phrase[] {
  const names = new Set(bars.flatMap((bar) => (bar.lines ?? []).map((line) => line.phrase)));
  return [...names].flatMap((name) => phraseNamed(name, bars) ?? []);
}

function phraseNamed(name: string, bars: readonly SheetBar[]): Phrase | undefined {
  const plays = (bar: SheetBar): boolean => (bar.lines ?? []).some((l) => l.phrase === name);
  const first = bars.findIndex(plays);
  const parts = new Set(
    bars.flatMap((bar) => (bar.lines ?? []).flatMap((l) => (l.phrase === name ? [l.part] : []))),
  );
  const written = [...parts].flatMap((part) => {
    const partBars = barsOfPart(name, part, bars, first);
    return partBars ? [{ kind: 'written' as const, name: part, bars: partBars }] : [];
  });
  return written.length > 0 ? { name, bar: first + 1, parts: written } : undefined;
}

/** Undefined where a bar between cannot be filled with rests. */
function barsOfPart(
  phrase: string,
  part: string,
  bars: readonly SheetBar[],
  first: number,
): readonly PhraseBar[] | undefined {
  const find = (bar: SheetBar): PhraseBar | undefined =>
    bar.lines?.find((line) => line.phrase === phrase && line.part === part)?.bar;
  const last = bars.findLastIndex((bar) => find(bar) !== undefined);
  const own = bars.slice(first, last + 1).map((bar) => find(bar) ?? restBar(bar));
  return own.every((bar) => bar !== undefined) ? own : undefined;
}

function restBar({ length }: SheetBar): PhraseBar | undefined {
  const events = valuesFor(length)?.map((value): PhraseEvent => ({ kind: 'rest', value }));
  return events && { events };
}

// Gathers what tablature parts play in the bars of a section into its lead lines.
import type { LeadBar, Lead, LeadEvent } from '../../../model/lead.ts';
import { valuesFor } from '../note-values.ts';
import type { SheetBar } from '../sheet.ts';

/** One lead for each name, from the first bar in which one of its parts plays; rests fill what lies between. */
export function leadsOf(bars: readonly SheetBar[]): readonly Lead[] {
  const names = new Set(bars.flatMap((bar) => (bar.leads ?? []).map(({ lead }) => lead)));
  return [...names].flatMap((name) => leadNamed(name, bars) ?? []);
}

function leadNamed(name: string, bars: readonly SheetBar[]): Lead | undefined {
  const plays = (bar: SheetBar): boolean => (bar.leads ?? []).some((l) => l.lead === name);
  const first = bars.findIndex(plays);
  const parts = new Set(
    bars.flatMap((bar) => (bar.leads ?? []).flatMap((l) => (l.lead === name ? [l.part] : []))),
  );
  const written = [...parts].flatMap((part) => {
    const partBars = barsOfPart(name, part, bars, first);
    return partBars ? [{ kind: 'written' as const, name: part, bars: partBars }] : [];
  });
  return written.length > 0 ? { name, bar: first + 1, parts: written } : undefined;
}

/** Undefined where a bar between cannot be filled with rests. */
function barsOfPart(
  lead: string,
  part: string,
  bars: readonly SheetBar[],
  first: number,
): readonly LeadBar[] | undefined {
  const find = (bar: SheetBar): LeadBar | undefined =>
    bar.leads?.find((one) => one.lead === lead && one.part === part)?.bar;
  const last = bars.findLastIndex((bar) => find(bar) !== undefined);
  const own = bars.slice(first, last + 1).map((bar) => find(bar) ?? restBar(bar));
  return own.every((bar) => bar !== undefined) ? own : undefined;
}

function restBar({ length }: SheetBar): LeadBar | undefined {
  const events = valuesFor(length)?.map((value): LeadEvent => ({ kind: 'rest', value }));
  return events && { events };
}

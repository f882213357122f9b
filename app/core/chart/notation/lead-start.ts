// Where a lead line is played: "Hook, bar 3", "Hook, bars 1 and 3", "Hook, bar 1, twice".
import type { LeadPart } from '../../model/lead.ts';

export interface LeadStart {
  readonly name: string;
  /** As counted in the section; a pickup is 0. */
  readonly bars: readonly number[];
  /** How often the line is played from its first bar on, one after the other. */
  readonly times: number;
}

const START =
  /^(.*?)\s*,\s*(?:(pickup)|bars?\s+(\d{1,4}(?:\s*(?:,|and|&)\s*\d{1,4})*))(?:\s*,?\s*(?:(twice)|(\d{1,2})\s*times|[x×]\s*(\d{1,2})))?$/iu;

/** Reads "Hook, bar 3", "Hook, bars 1 and 3, twice" or "Hook, pickup"; undefined where it is none of these. */
export function readLeadStart(text: string): LeadStart | undefined {
  const [, name, pickup, bars, twice, times, cross] = START.exec(text) ?? [];
  if (name === undefined) return undefined;
  const numbers = pickup ? [0] : (bars ?? '').match(/\d+/gu)!.map(Number);
  return { name, bars: numbers, times: twice ? 2 : Number(times ?? cross ?? 1) };
}

/** Every bar at which it starts, rising and each once. */
export function startsOf(start: LeadStart | undefined, parts: readonly LeadPart[]): number[] {
  if (!start) return [];
  const written = parts.flatMap((part) => (part.kind === 'written' ? [part.bars.length] : []));
  const length = Math.max(1, ...written.slice(0, 8));
  const all = start.bars.flatMap((bar) =>
    Array.from({ length: Math.max(1, start.times) }, (_, i) => bar + i * length),
  );
  return [...new Set(all)].toSorted((a, b) => a - b);
}

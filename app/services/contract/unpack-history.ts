// The history as the view works with it, out of the packed parts that travelled.
import { instantOf, settlePasses } from '../../core/log/history.ts';
import type { History } from './contract.ts';
import type { PackedHistory } from './packed-log.ts';
import { unitsOf, unpackPasses } from './packed-log.ts';

/** Each pass once, in time order, amendments applied, from `since` up to but not at `until`. */
export function unpackHistory(
  { parts, problems }: PackedHistory,
  { since, until }: { readonly since?: string; readonly until?: string } = {},
): History {
  const settled = settlePasses(
    parts.flatMap(unpackPasses),
    parts.flatMap((part) => part.amendments),
  );
  const first = since === undefined ? -Infinity : instantOf(since);
  const end = until === undefined ? Infinity : instantOf(until);
  const passes =
    since === undefined && until === undefined
      ? settled
      : settled.filter(({ at }) => instantOf(at) >= first && instantOf(at) < end);
  return { passes, units: Object.fromEntries(unitsOf(parts)), problems };
}

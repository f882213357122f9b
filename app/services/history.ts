// The history as the view works with it, out of the packed parts that travelled.
import { instantOf, settle } from '../core/progress/history.ts';
import type { PlayedUnit } from '../core/progress/record.ts';
import type { History } from './contract.ts';
import type { PackedHistory } from './packed-log.ts';
import { unpackLog } from './packed-log.ts';

/** Each pass once, in time order, amendments applied, from `since` up to but not at `until`. */
export function unpackHistory(
  { parts, problems }: PackedHistory,
  { since, until }: { readonly since?: string; readonly until?: string } = {},
): History {
  const units: Record<string, PlayedUnit> = Object.create(null) as Record<string, PlayedUnit>;
  for (const part of parts) for (const unit of part.units) units[unit.fingerprint] ??= unit;
  const settled = settle(parts.flatMap(unpackLog));
  const first = since === undefined ? -Infinity : instantOf(since);
  const end = until === undefined ? Infinity : instantOf(until);
  const passes =
    since === undefined && until === undefined
      ? settled
      : settled.filter(({ at }) => instantOf(at) >= first && instantOf(at) < end);
  return { passes, units, problems };
}

// The history as the view works with it, out of the packed parts that travelled.
import { settlePasses } from '../../core/log/history.ts';
import type { History } from './contract.ts';
import type { PackedHistory } from './packed-log.ts';
import { unitsOf, unpackPasses } from './packed-log.ts';

/** Each pass once, in time order, amendments applied. */
export function unpackHistory({ parts, problems }: PackedHistory): History {
  const passes = settlePasses(
    parts.flatMap(unpackPasses),
    parts.flatMap((part) => part.amendments),
  );
  return { passes, units: Object.fromEntries(unitsOf(parts)), problems };
}

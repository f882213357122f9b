// What one look at both sides asks for: a file here, as it was when both agreed, and as it stands outside.
import { SEGMENT_ENDING } from '../../../core/exchange/shared/segment.ts';
import { type Listing, partsOf } from './outside.ts';
import { LOCKED_ENDING } from './seal.ts';

/** When both sides held the same. */
export interface Agreed {
  /** SHA-256 of the content here. */
  readonly hash: string;
  /** Of the file outside. */
  readonly stamp: string;
}

export interface FoundOutside {
  /** As it is called there. */
  readonly path: string;
  readonly stamp: string;
  readonly bytes: number;
  readonly locked: boolean;
}

/** What to do with a file, by its path here. */
export type Step =
  | { readonly do: 'send'; readonly path: string }
  | { readonly do: 'fetch'; readonly path: string; readonly from: FoundOutside }
  /** Both sides may differ, and nobody can say which is right. */
  | { readonly do: 'compare'; readonly path: string; readonly from: FoundOutside }
  /** Who wrote it took it away. */
  | { readonly do: 'drop'; readonly path: string }
  /** This computer took it away. */
  | { readonly do: 'withdraw'; readonly path: string; readonly from: FoundOutside }
  /** Open beside its locked self, outside. */
  | { readonly do: 'clear'; readonly path: string; readonly open: string };

export interface Sides {
  /** Hash by path. */
  readonly here: ReadonlyMap<string, string>;
  readonly agreed: ReadonlyMap<string, Agreed>;
  readonly outside: ReadonlyMap<string, FoundOutside>;
  /** Whether this computer wrote it, under its name now or an earlier one. */
  readonly isOwn: (path: string) => boolean;
  /** Whether this computer took away all it wrote there. */
  readonly isTakenAway: (path: string) => boolean;
  /** Whether what is sent there is locked. */
  readonly locks: (path: string) => boolean;
}

/** What to copy, remove or keep beside, in the order of paths. */
export function planSteps(sides: Sides): readonly Step[] {
  const paths = new Set([...sides.here.keys(), ...sides.outside.keys()]);
  return [...paths].sort().flatMap((path) => stepFor(path, sides) ?? []);
}

function stepFor(path: string, sides: Sides): Step | undefined {
  const [hash, agreed, from] = [
    sides.here.get(path),
    sides.agreed.get(path),
    sides.outside.get(path),
  ];
  const own = sides.isOwn(path);
  if (hash === undefined) {
    const gone = own && agreed !== undefined && sides.isTakenAway(path);
    return from && { do: gone ? 'withdraw' : 'fetch', path, from };
  }
  // Own files are put back; without a memory of it nobody can say that it was taken away.
  if (!from) return own || !agreed ? { do: 'send', path } : { do: 'drop', path };
  if (!own) {
    return agreed?.stamp === from.stamp ? undefined : { do: 'fetch', path, from };
  }
  if (!agreed) return { do: 'compare', path, from };
  const [changedHere, changedThere] = [agreed.hash !== hash, agreed.stamp !== from.stamp];
  if (changedHere && !changedThere) return { do: 'send', path };
  if (changedHere && changedThere) return { do: 'compare', path, from };
  if (changedThere) return { do: 'fetch', path, from };
  return sides.locks(path) && !from.locked ? { do: 'send', path } : undefined;
}

/** Files of writers, each by the path it has here; where one stands both locked and open, the locked one counts. */
export function foundIn(listing: Listing): ReadonlyMap<string, FoundOutside> {
  const found = new Map<string, FoundOutside>();
  for (const [path, file] of listing) {
    const locked = path.endsWith(LOCKED_ENDING);
    const here = locked ? path.slice(0, -LOCKED_ENDING.length) : path;
    const { writer = '', name = '' } = partsOf(here) ?? {};
    if (writer === '' || !name.endsWith(SEGMENT_ENDING)) continue;
    if (locked || !found.has(here)) found.set(here, { path, ...file, locked });
  }
  return found;
}

/** Open files of this computer whose locked selves stand there. */
export function openTwins(listing: Listing, isOwn: (path: string) => boolean): readonly Step[] {
  return [...listing.keys()]
    .filter((path) => listing.has(`${path}${LOCKED_ENDING}`) && isOwn(path))
    .map((path) => ({ do: 'clear', path, open: path }));
}

// What a shared folder holds, put together from its segments in any order, however often and incomplete they come.
import type { Parcel, Segment } from './segment.ts';

/** Segments by their hash: joining two shelves is a union, so order, copies and late arrivals change nothing. */
export type Shelf = ReadonlyMap<string, Segment>;

export const joinShelves = (...shelves: readonly Shelf[]): Shelf =>
  new Map(shelves.flatMap((shelf) => [...shelf]));

export interface WriterOnShelf {
  readonly writer: string;
  readonly segments: number;
  /** Numbers below the highest that have not arrived: they are waited for. */
  readonly missing: readonly number[];
}

/** Every writer, in the order of their names. */
export function writersOf(shelf: Shelf): readonly WriterOnShelf[] {
  const byWriter = Map.groupBy(shelf.values(), ({ writer }) => writer);
  return [...byWriter]
    .map(([writer, segments]) => {
      const there = new Set(segments.map(({ number }) => number));
      const highest = Math.max(...there);
      const missing = Array.from({ length: highest }, (_, i) => i + 1).filter((n) => !there.has(n));
      return { writer, segments: there.size, missing };
    })
    .sort((a, b) => (a.writer < b.writer ? -1 : 1));
}

export interface ParcelOnShelf {
  /** The hash of its segment. */
  readonly id: string;
  readonly segment: Segment;
  readonly parcel: Parcel;
}

/**
 * The newest parcel of each kind and student from each writer: a sheet or report holds all that came before it. The
 * writer's number tells which is newest, never a clock; of two files of one number the greater hash.
 */
export function newestParcels(shelf: Shelf): readonly ParcelOnShelf[] {
  const newest = new Map<string, ParcelOnShelf>();
  for (const [id, segment] of shelf) {
    const { parcel, writer } = segment;
    if (!parcel) continue;
    const about = `${writer} ${parcel.kind} ${parcel.student}`;
    const known = newest.get(about);
    if (!known || isNewer(segment, id, known)) newest.set(about, { id, segment, parcel });
  }
  return [...newest.values()].sort((a, b) => (a.id < b.id ? -1 : 1));
}

const isNewer = (segment: Segment, id: string, known: ParcelOnShelf): boolean =>
  segment.number - known.segment.number > 0 ||
  (segment.number === known.segment.number && id > known.id);

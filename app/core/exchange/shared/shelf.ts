// What a shared folder holds, put together from its segments in any order, however often and incomplete they come.
import { textOrder } from '../../base/text-order.ts';
import { byId } from '../../log/history.ts';
import type { Batch } from './facts.ts';
import { type GivenHead, headOfRecording } from './given-recording.ts';
import type { Parcel } from './parcel.ts';
import type { Ranges, Segment } from './segment.ts';

/** A segment as it lies on the shelf: of a batch or a recording only how much it holds. */
export type OnShelf = Omit<Segment, 'batch' | 'recording'> & {
  readonly batch?: BatchHead;
  readonly recording?: GivenHead;
};

export interface BatchHead extends Omit<Batch, 'facts'> {
  readonly facts: number;
}

/** The segment without what would make the shelf large: facts and sounds. */
export function shelved({ batch, recording, ...segment }: Segment): OnShelf {
  return {
    ...segment,
    ...(batch ? { batch: { ...batch, facts: batch.facts.length } } : {}),
    ...(recording ? { recording: headOfRecording(recording) } : {}),
  };
}

/** Segments by their hash: joining two shelves is a union, so order, copies and late arrivals change nothing. */
export type Shelf = ReadonlyMap<string, OnShelf>;

/** All that lies on any of them. */
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
  const isThere = accountedFor(shelf);
  const byWriter = Map.groupBy(shelf.values(), ({ writer }) => writer);
  return [...byWriter]
    .map(([writer, segments]) => {
      const there = new Set(segments.map(({ number }) => number));
      const missing = Array.from({ length: Math.max(...there) }, (_, i) => i + 1).filter(
        (number) => !isThere(writer, number),
      );
      return { writer, segments: there.size, missing };
    })
    .sort((a, b) => textOrder(a.writer, b.writer));
}

/** Tells of a writer's number whether its file is there, or what stood in it stands in another. */
export function accountedFor(shelf: Shelf): (writer: string, number: number) => boolean {
  const numbers = new Map<string, Set<number>>();
  for (const { writer, number } of shelf.values()) {
    if (!numbers.has(writer)) numbers.set(writer, new Set());
    numbers.get(writer)!.add(number);
  }
  const standsElsewhere = stoodForOn(shelf);
  return (writer, number) =>
    numbers.get(writer)?.has(number) === true || standsElsewhere(writer, number);
}

/** Tells of a writer's number whether what stood in its file stands in another, or was told again. */
export function stoodForOn(shelf: Shelf): (writer: string, number: number) => boolean {
  const ranges = new Map<string, Ranges>();
  const stand = (writer: string, more: Ranges): unknown =>
    ranges.set(writer, [...(ranges.get(writer) ?? []), ...more]);
  for (const { writer, instead = [], again = [] } of shelf.values()) {
    if (instead.length > 0) stand(writer, instead);
    for (const told of again) stand(told.writer, told.numbers);
  }
  return (writer, number) => isWithin(number, ranges.get(writer) ?? []);
}

const isWithin = (number: number, ranges: Ranges): boolean =>
  ranges.some(([from, to]) => from <= number && number <= to);

/** Tells of a file whether a later one of its writer says that it stands for it. */
export function replacedOn(shelf: Shelf): (writer: string, number: number) => boolean {
  const standing = standingFor(shelf);
  return (writer, number) => standing(writer, number) !== undefined;
}

/** The file that says so. */
export function standingFor(shelf: Shelf): (writer: string, number: number) => OnShelf | undefined {
  const standing = Map.groupBy(
    [...shelf.values()].filter(({ instead = [] }) => instead.length > 0),
    ({ writer }) => writer,
  );
  return (writer, number) =>
    (standing.get(writer) ?? []).find(
      (one) => one.number > number && isWithin(number, one.instead!),
    );
}

/** Holds a later file all of this one? It was emptied, or it is an older sheet or report of the same student. */
export function isHeldBy(
  { parcel: newer }: OnShelf,
  { parcel, batch, recording }: OnShelf,
): boolean {
  if (!parcel) return !batch && !recording;
  const isWhole = newer !== undefined && !parcel.adds && !newer.adds;
  return isWhole && newer.kind === parcel.kind && newer.student === parcel.student;
}

/** Numbers as ranges, each as long as can be. */
export function rangesOf(numbers: readonly number[]): Ranges {
  const ranges: [number, number][] = [];
  for (const number of [...new Set(numbers)].sort((a, b) => a - b)) {
    const last = ranges.at(-1);
    if (last && last[1] === number - 1) last[1] = number;
    else ranges.push([number, number]);
  }
  return ranges;
}

/** What several files say was told again, each number once. */
export function joinAgain(those: readonly Pick<OnShelf, 'again'>[]): NonNullable<OnShelf['again']> {
  const told = those.flatMap(({ again = [] }) => again);
  return [...Map.groupBy(told, ({ writer }) => writer)].map(([writer, some]) => ({
    ...{ writer, numbers: rangesOf(some.flatMap(({ numbers }) => numbers.flatMap(within))) },
  }));
}

/** Every number of a range, both ends included. */
export const within = ([from, to]: Ranges[number]): readonly number[] =>
  Array.from({ length: to - from + 1 }, (_, i) => from + i);

/** The numbers that a file stands for, its own among them. */
export const numbersOf = ({ number, instead = [] }: OnShelf): readonly number[] => [
  number,
  ...instead.flatMap(within),
];

export interface ParcelOnShelf {
  /** The hash of its segment. */
  readonly id: string;
  readonly segment: OnShelf;
  readonly parcel: Parcel;
}

/**
 * The newest parcel of each kind and student from each writer, and those that were put on top of it: such a sheet or
 * report holds all that came before it. The writer's number tells which is newest, never a clock; of two files of one
 * number the greater hash. In the order of writers and numbers.
 */
export function newestParcels(shelf: Shelf): readonly ParcelOnShelf[] {
  const all = [...shelf].flatMap(([id, segment]): ParcelOnShelf[] =>
    segment.parcel ? [{ id, segment, parcel: segment.parcel }] : [],
  );
  const about = ({ segment, parcel }: ParcelOnShelf): string =>
    `${segment.writer} ${parcel.kind} ${parcel.student}`;
  return [...Map.groupBy(all, about).values()]
    .flatMap((those) => {
      const sorted = those.toSorted(inOrder);
      const whole = sorted.findLastIndex(({ parcel }) => !parcel.adds);
      return sorted.slice(Math.max(whole, 0));
    })
    .sort(inOrder);
}

const inOrder = (a: ParcelOnShelf, b: ParcelOnShelf): number =>
  byNumber(a.segment, b.segment) || byId(a, b);

/** By the writer, and each writer's own in the order in which they were written. */
export const byNumber = (a: Numbered, b: Numbered): number =>
  textOrder(a.writer, b.writer) || a.number - b.number;
type Numbered = Pick<Segment, 'writer' | 'number'>;

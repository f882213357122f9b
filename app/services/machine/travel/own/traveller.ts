// A kind of thing that a player's machines keep alike: its values by key, and how values of others are taken over.
import { createHash } from 'node:crypto';
import type { Json } from '../../../../core/exchange/shared/facts.ts';
import { textOf } from '../../../../core/exchange/shared/writes.ts';

/** A value that stands here; it is read when it is asked for. */
export interface Value {
  readonly hash: string;
  readonly read: () => Json;
}

/** A thing of several values: it is there while the first of them is, and the others stay unused where it is not. */
export interface Whole {
  /** The key of its first value. */
  readonly key: string;
  /** What the keys of all its values begin with. */
  readonly parts: string;
}

export interface Traveller {
  /** What its keys begin with. */
  readonly prefixes: readonly string[];
  /** The thing that a value is a part of; absent where each value stands for itself. */
  readonly wholeOf?: (key: string) => Whole;
  /** The student whom a value is about; absent where none is about any. */
  readonly studentOf?: (key: string) => string | undefined;
  /** Whether its values are neither told nor taken over now. */
  readonly rests?: () => boolean;
  /** All that stands here now, by key. */
  readonly values: () => ReadonlyMap<string, Value>;
  /**
   * Takes over what others set; null takes a value away.
   * @param standing the value of any key as all machines will have it
   * Returns the keys of those that have to wait for others, if there are any.
   * @throws Error where it could not be kept; it is tried again.
   */
  readonly take: (
    values: ReadonlyMap<string, Json>,
    standing: (key: string) => Json | undefined,
  ) => ReadonlySet<string> | undefined;
}

/** Does a value of this name belong to that traveller? */
export const isOf = ({ prefixes }: Pick<Traveller, 'prefixes'>, key: string): boolean =>
  prefixes.some((prefix) => key.startsWith(prefix));

/** The first 144 bits of SHA-256 (FIPS 180-4) over the value's text, in 24 signs of base64url. */
export const hashOf = (value: Json): string =>
  createHash('sha256').update(textOf(value)).digest('base64url').slice(0, 24);

/** What is not there. */
export const NOTHING = hashOf(null);

/** The values by their names, each with its hash. */
export const valuesOf = (values: Iterable<readonly [string, Json]>): ReadonlyMap<string, Value> =>
  new Map(
    Array.from(
      values,
      ([key, value]) => [key, { hash: hashOf(value), read: () => value }] as const,
    ),
  );

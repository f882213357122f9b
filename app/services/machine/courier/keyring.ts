// Which key locks and opens each place of a shared folder, worked out of the passphrase once and kept.
import { fail, ok, type Problem, type Result } from '../../../core/base/result.ts';
import type { Listing, Outside } from './outside.ts';
import {
  type FolderKeys,
  isLongEnough,
  keyFilesIn,
  keysBy,
  lockedKey,
  newKey,
  passphraseNeeded,
  putKey,
  type Seal,
  sealOf,
  shortPassphrase,
  USUAL_WORK_FACTOR,
  wrongPassphrase,
} from './seal.ts';
import type { SecretKeeper } from './secrets.ts';

/** What locks and opens in each place. */
export interface Locks {
  /** Undefined where nothing is locked, a problem where it cannot be opened: then it is left alone. */
  readonly of: (place: string) => Seal | Problem | undefined;
}

/** Where keys are read and put. */
interface At {
  readonly outside: Outside;
  readonly signal: AbortSignal;
}

type Keys = ReadonlyMap<string, FolderKeys>;

/** Is it a lock that opens, and neither none nor a reason why not? */
export const isSeal = (lock: Seal | Problem | undefined): lock is Seal =>
  lock !== undefined && 'lock' in lock;

export class Keyring {
  readonly #secrets: SecretKeeper;
  readonly #workFactor: number;
  #seals: { readonly keysOf: string; readonly byPlace: ReadonlyMap<string, Seal> } | undefined;

  constructor(secrets: SecretKeeper, workFactor = USUAL_WORK_FACTOR) {
    this.#secrets = secrets;
    this.#workFactor = workFactor;
  }

  /** @param places those that something lies in or goes to; where a passphrase is known, each gets a key */
  async locksOf(listing: Listing, places: readonly string[], at: At): Promise<Locks> {
    const { passphrase } = await this.#secrets.load();
    const files = keyFilesIn(listing);
    if (passphrase === undefined) {
      return { of: (place) => (files.has(place) ? passphraseNeeded : undefined) };
    }
    const keys = await this.#keysOf(listing, passphrase, at);
    const missing = places.filter((place) => !files.has(place));
    const all = missing.length === 0 ? keys : await this.#giveKeys(missing, keys, passphrase, at);
    const seals = await this.#sealsOf(all, stampsOf(listing));
    return { of: (place) => seals.get(place) ?? wrongPassphrase };
  }

  /** Tries a passphrase, or locks the folder with it; kept only where it fits. */
  async use(passphrase: string, at: At): Promise<Result<null>> {
    const listing = (await at.outside.list(at.signal)) ?? new Map();
    const keys = await openAll(listing, passphrase, at);
    if (keys.size === 0) {
      // A student's folder may have a lock of its own, beside which the shared one gets another.
      if (keyFilesIn(listing).has('')) return fail(wrongPassphrase);
      if (!isLongEnough(passphrase)) return fail(shortPassphrase);
    }
    await this.#secrets.keep({ passphrase, keys: plain(keys), keysOf: stampsOf(listing) });
    this.#seals = undefined;
    return ok(null);
  }

  /** Locks every key that the known passphrase opens, or the new one already does, with the new one. */
  async change(passphrase: string, at: At): Promise<Result<null>> {
    const { passphrase: before } = await this.#secrets.load();
    if (before === undefined) return fail(passphraseNeeded);
    if (!isLongEnough(passphrase)) return fail(shortPassphrase);
    const listing = (await at.outside.list(at.signal)) ?? new Map();
    const paths = [...keyFilesIn(listing).values()].flat();
    const opened: (readonly [path: string, key: string])[] = [];
    for (const path of paths) {
      const file = await at.outside.read(path, listing.get(path)!.bytes, at.signal);
      // One that a try before this has locked anew is opened by the new one.
      const [key] = [...(await keysBy(before, [file])), ...(await keysBy(passphrase, [file]))];
      if (key !== undefined) opened.push([path, key]);
    }
    if (opened.length === 0) return fail(wrongPassphrase);
    for (const [path, key] of opened) {
      const file = await lockedKey(key, passphrase, this.#workFactor);
      await at.outside.write(path, file, at.signal);
    }
    return this.use(passphrase, at);
  }

  async #keysOf(listing: Listing, passphrase: string, at: At): Promise<Keys> {
    const { keys = {}, keysOf } = await this.#secrets.load();
    const stamps = stampsOf(listing);
    if (keysOf === stamps) return new Map(Object.entries(keys));
    const opened = await openAll(listing, passphrase, at);
    // A key whose file was taken away is put back: what is locked with it must stay within reach of the others.
    const known = new Map(
      Object.entries(keys).filter(([place]) => !keyFilesIn(listing).has(place)),
    );
    const all = new Map([...known, ...opened]);
    await this.#secrets.keep({ keys: plain(all), keysOf: stamps });
    return all;
  }

  /** The same key everywhere, so that one key opens all that one teacher locked. */
  async #giveKeys(
    places: readonly string[],
    keys: Keys,
    passphrase: string,
    at: At,
  ): Promise<Keys> {
    const all = new Map(keys);
    const usual = keys.get('')?.[0] ?? [...keys.values()][0]?.[0] ?? (await newKey());
    for (const place of places) {
      const key = keys.get(place)?.[0] ?? usual;
      // Where another computer was quicker, its key is read at the next meeting.
      const put = { ...at, workFactor: this.#workFactor };
      if (await putKey(key, passphrase, place, put)) all.set(place, [key]);
    }
    await this.#secrets.keep({ keys: plain(all) });
    return all;
  }

  async #sealsOf(keys: Keys, stamps: string): Promise<ReadonlyMap<string, Seal>> {
    const keysOf = `${stamps}\n${[...keys.keys()].join('\n')}`;
    if (this.#seals?.keysOf === keysOf) return this.#seals.byPlace;
    const byPlace = new Map<string, Seal>();
    for (const [place, some] of keys) byPlace.set(place, await sealOf(some));
    this.#seals = { keysOf, byPlace };
    return byPlace;
  }
}

async function openAll(
  listing: Listing,
  passphrase: string,
  { outside, signal }: At,
): Promise<Keys> {
  const opened = new Map<string, FolderKeys>();
  for (const [place, paths] of keyFilesIn(listing)) {
    const files = await Promise.all(
      paths.map((path) => outside.read(path, listing.get(path)!.bytes, signal)),
    );
    const keys = await keysBy(passphrase, files);
    if (keys.length > 0) opened.set(place, keys);
  }
  return opened;
}

const plain = (keys: Keys): Record<string, string[]> =>
  Object.fromEntries([...keys].map(([place, some]) => [place, [...some]]));

/** Changes whenever a key file comes, goes or changes. */
const stampsOf = (listing: Listing): string =>
  [...keyFilesIn(listing).values()]
    .flat()
    .map((path) => `${path} ${listing.get(path)!.stamp}`)
    .join('\n');

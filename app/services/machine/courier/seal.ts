// Files locked with a passphrase, in the age format (age-encryption.org/v1): a key of the folder, locked by the
// passphrase, and every other file locked with that key. The program `age` opens both.
import type { Problem } from '../../../core/base/result.ts';
import { homeOf, type Listing, type Outside, partsOf } from './outside.ts';

/** What opens and locks the files of one folder. */
export interface Seal {
  readonly lock: (content: Uint8Array) => Promise<Uint8Array>;
  /** @throws where it was locked with another key, or is not whole */
  readonly open: (content: Uint8Array) => Promise<Uint8Array>;
}

/** As `age-keygen` writes it: AGE-SECRET-KEY-1…, one for each key file that the passphrase opens. */
export type FolderKeys = readonly string[];

const KEY_FILE = 'key.age';
/** Two computers that began at once leave two; a syncing program gives one of them another name. */
export const isKeyFile = (name: string): boolean => /^key.*\.age$/.test(name);
/** The key files of each place, by its name: '' for the shared folder itself, else a student's folder in it. */
export function keyFilesIn(listing: Listing): ReadonlyMap<string, readonly string[]> {
  const found = new Map<string, string[]>();
  for (const path of [...listing.keys()].sort()) {
    const parts = partsOf(path);
    if (!parts || parts.writer !== '' || !isKeyFile(parts.name)) continue;
    found.set(parts.place, [...(found.get(parts.place) ?? []), path]);
  }
  return found;
}
/** What is locked ends so. */
export const LOCKED_ENDING = '.age';

/** Characters of a new passphrase: with scrypt in between, five random words or more are out of reach of guessing. */
const SHORTEST = 12;
/**
 * 2 to this power rounds of scrypt (RFC 7914): a second of a plain computer and 64 MB, once per folder and computer.
 * The format allows up to 22; `age` itself takes 18, which held the whole program up for seconds.
 */
export const USUAL_WORK_FACTOR = 16;

const age = () => import('age-encryption');

/** @param keys at least one */
export async function sealOf(keys: FolderKeys): Promise<Seal> {
  const { Decrypter, Encrypter, identityToRecipient } = await age();
  const recipients = await Promise.all(keys.map((key) => identityToRecipient(key)));
  const encrypter = new Encrypter();
  // All write with the same one, whichever key files they saw first.
  encrypter.addRecipient([...recipients].sort()[0]!);
  const decrypter = new Decrypter();
  keys.forEach((key) => decrypter.addIdentity(key));
  return {
    lock: (content) => encrypter.encrypt(content),
    open: (content) => decrypter.decrypt(content),
  };
}

/** The keys in key files that a passphrase opens; a file that it does not open, or that is half there, gives none. */
export async function keysBy(
  passphrase: string,
  files: readonly Uint8Array[],
): Promise<FolderKeys> {
  const { Decrypter } = await age();
  const decrypter = new Decrypter();
  decrypter.addPassphrase(passphrase);
  const keys: string[] = [];
  for (const file of files) {
    const key = await decrypter.decrypt(file, 'text').catch(() => undefined);
    if (key !== undefined) keys.push(key.trim());
  }
  return keys;
}

/** A secret key of the age format (X25519), drawn at random. */
export const newKey = async (): Promise<string> => (await age()).generateX25519Identity();

interface PuttingKeys {
  readonly outside: Outside;
  readonly signal: AbortSignal;
  /** See {@link USUAL_WORK_FACTOR}. */
  readonly workFactor: number;
}

/** Puts the key of a place there, locked. False where another computer was quicker. */
export async function putKey(
  key: string,
  passphrase: string,
  place: string,
  { outside, signal, workFactor }: PuttingKeys,
): Promise<boolean> {
  const file = await lockedKey(key, passphrase, workFactor);
  return outside.writeNew(`${homeOf(place)}/${KEY_FILE}`, file, signal);
}

/** The content of a key file. @param workFactor see {@link USUAL_WORK_FACTOR} */
export async function lockedKey(
  key: string,
  passphrase: string,
  workFactor: number,
): Promise<Uint8Array> {
  const { Encrypter } = await age();
  const encrypter = new Encrypter();
  encrypter.setPassphrase(passphrase);
  encrypter.setScryptWorkFactor(workFactor);
  return encrypter.encrypt(`${key}\n`);
}

/** Has the passphrase {@link SHORTEST} characters or more? A sign outside the basic plane counts once. */
export const isLongEnough = (passphrase: string): boolean => [...passphrase].length >= SHORTEST;

export const wrongPassphrase: Problem = {
  code: 'shared-passphrase',
  message: 'This passphrase does not open what lies in the shared folder',
  cure: 'Write it exactly as whoever locked it has it. Nothing was changed.',
};

export const shortPassphrase: Problem = {
  code: 'shared-passphrase-short',
  message: `A passphrase that protects anything has ${SHORTEST} characters or more`,
  cure: 'Take five words that have nothing to do with each other.',
};

export const passphraseNeeded: Problem = {
  code: 'shared-locked',
  message: 'What lies in the shared folder is locked with a passphrase',
  cure: 'Write the passphrase here. Until then nothing locked is read and nothing is written there; what you hand out waits on this computer.',
};

// The place that a shared folder is copied to and from: a server's folder, or a folder that another program carries.
import { HOME } from '../shared/places.ts';

/** A file there: its stamp changes whenever its content does; its length in bytes. */
export interface FileOutside {
  readonly stamp: string;
  readonly bytes: number;
}

/** By its path from the shared folder on. */
export type Listing = ReadonlyMap<string, FileOutside>;

/**
 * All of it may fail; what is thrown is put in words by `troubleOf`. A path is [STUDENT/]rungwise-shared/[WRITER/]NAME,
 * as listed. A file appears whole or not at all.
 */
export interface Outside {
  /** As people call it. */
  readonly name: string;
  /** Undefined where the home of all shared files is not there. */
  readonly list: (signal: AbortSignal) => Promise<Listing | undefined>;
  /** @throws where there is no such place, or nothing may be written there */
  readonly makeHome: (signal: AbortSignal) => Promise<void>;
  readonly read: (path: string, bytes: number, signal: AbortSignal) => Promise<Uint8Array>;
  /** Returns how it stands there now. */
  readonly write: (path: string, content: Uint8Array, signal: AbortSignal) => Promise<FileOutside>;
  /** Changes nothing and returns false where there is such a file. */
  readonly writeNew: (path: string, content: Uint8Array, signal: AbortSignal) => Promise<boolean>;
  /** Takes the folders above it away, too, where nothing else is in them. */
  readonly remove: (path: string, signal: AbortSignal) => Promise<void>;
}

/** Bytes; more is no file of ours. */
export const MOST_BYTES = 64_000_000;
/** Names of writers, and of files and students' folders, that are looked at; the rest is not ours. */
export const isWriter = (name: string): boolean => /^[A-Za-z0-9-]{1,64}$/.test(name);

/** Can it name a visible file on every system, in at most 120 characters? */
export const isName = (name: string): boolean =>
  name.length <= 120 && !/[\\/:*?"<>|\u0000-\u001f]|^\./.test(name);

/** What a path says: the student's folder ('' for the shared one itself), the writer ('' where it is beside them). */
export interface PathParts {
  readonly place: string;
  readonly writer: string;
  readonly name: string;
}

/** Undefined for any path that is not ours. */
export function partsOf(path: string): PathParts | undefined {
  const parts = path.split('/');
  const home = parts.indexOf(HOME);
  const [place = '', writers, name = ''] = [
    parts[home - 1],
    parts.slice(home + 1, -1),
    parts.at(-1),
  ];
  const [writer = ''] = writers;
  const fits = (home === 0 || home === 1) && writers.length <= 1 && isName(name);
  return fits && (writer === '' || isWriter(writer)) ? { place, writer, name } : undefined;
}

/** The program's own folder at a place. @param place with slashes; '' is the top */
export const homeOf = (place: string): string => (place === '' ? HOME : `${place}/${HOME}`);

/** The folders above a file that may be taken away with it, innermost first; the home of all stays. */
export function foldersAbove(path: string): readonly string[] {
  const parts = path.split('/').slice(0, -1);
  return parts
    .map((_, i) => parts.slice(0, parts.length - i).join('/'))
    .filter((folder) => folder !== HOME);
}

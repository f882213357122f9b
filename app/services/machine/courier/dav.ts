// A folder on a WebDAV server (RFC 4918), asked through a kept client library.
import { Agent } from 'node:https';
import * as tls from 'node:tls';
import type { FileStat, WebDAVClient } from 'webdav';
import { HOME } from '../shared/places.ts';
import {
  type FileOutside,
  foldersAbove,
  isName,
  isWriter,
  type Listing,
  MOST_BYTES,
  type Outside,
} from './outside.ts';
import { NotWhole, statusOf } from './troubles.ts';

interface Account {
  readonly url: string;
  /** '' for a server that asks for none. */
  readonly user: string;
  readonly password: string;
}

/** Milliseconds for a request that carries next to nothing, and bytes a millisecond that a slow line carries. */
const PATIENCE_MS = 30_000;
const SLOWEST_BYTES_PER_MS = 10;
/** Folders that are listed at once. */
const AT_ONCE = 4;

/** Loads the client; asks nothing yet. */
export async function openDav(account: Account, patience = PATIENCE_MS): Promise<Outside> {
  const { AuthType, createClient } = await import('webdav');
  const { url, user: username, password } = account;
  const client = createClient(url, {
    ...(username === ''
      ? { authType: AuthType.None }
      : { authType: AuthType.Auto, username, password }),
    httpsAgent: new Agent({ keepAlive: true, ca: trusted() }),
  });
  return new DavFolder(client, new URL(url).host, patience);
}

/** The system's own list, too: a school's server may be known only there. */
function trusted(): string[] {
  const lists = (['default', 'system', 'extra'] as const).flatMap((list) => {
    try {
      return tls.getCACertificates(list);
    } catch {
      return []; // Not every build can read the system's list.
    }
  });
  return [...new Set(lists)];
}

class DavFolder implements Outside {
  readonly name: string;
  readonly #client: WebDAVClient;
  readonly #patience: number;

  constructor(client: WebDAVClient, name: string, patience: number) {
    this.#client = client;
    this.name = name;
    this.#patience = patience;
  }

  async list(signal: AbortSignal): Promise<Listing | undefined> {
    const inside = await this.#look('', signal);
    if (!inside) throw Object.assign(new Error('no such folder'), { status: 404 });
    if (!inside.folders.includes(HOME)) return undefined;
    const listing = new Map<string, FileOutside>();
    const homes = inside.folders.map((name) => (name === HOME ? HOME : `${name}/${HOME}`));
    const writers: string[] = [];
    // A folder without a home in it, or that was taken away since, is empty.
    await eachOf(homes, AT_ONCE, async (home) => {
      const found = await this.#look(home, signal);
      found?.files.forEach((file, path) => listing.set(path, file));
      writers.push(...(found?.folders ?? []).filter(isWriter).map((name) => `${home}/${name}`));
    });
    await eachOf(writers, AT_ONCE, async (writer) => {
      (await this.#look(writer, signal))?.files.forEach((file, path) => listing.set(path, file));
    });
    return listing;
  }

  async makeHome(signal: AbortSignal): Promise<void> {
    await this.#client.stat('/', this.#within(signal));
    await this.#makeFolder(HOME, signal);
  }

  async read(path: string, bytes: number, signal: AbortSignal): Promise<Uint8Array> {
    const answer = await this.#client.getFileContents(at(path), this.#within(signal, bytes));
    return new Uint8Array(answer as ArrayBuffer);
  }

  /** Under another name first: what is cut off on the way is never taken for a file. */
  async write(path: string, content: Uint8Array, signal: AbortSignal): Promise<FileOutside> {
    const part = await this.#writePart(path, content, signal);
    try {
      await this.#client.moveFile(part, at(path), { ...this.#within(signal), overwrite: true });
    } catch (error) {
      if (!NO_MOVE.has(statusOf(error) ?? 0)) throw error;
      // Every file has a check sum of its own, so that half of one is known for what it is.
      await this.#put(at(path), content, signal);
      await this.#forgetPart(part, signal);
    }
    const there = fileOf((await this.#client.stat(at(path), this.#within(signal))) as FileStat);
    if (there.bytes !== content.length) throw new NotWhole(`${there.bytes} bytes stand there`);
    return there;
  }

  async writeNew(path: string, content: Uint8Array, signal: AbortSignal): Promise<boolean> {
    const part = await this.#writePart(path, content, signal);
    try {
      await this.#client.moveFile(part, at(path), { ...this.#within(signal), overwrite: false });
      return true;
    } catch (error) {
      await this.#forgetPart(part, signal);
      if (statusOf(error) === 412) return false;
      throw error;
    }
  }

  async remove(path: string, signal: AbortSignal): Promise<void> {
    await this.#client.deleteFile(at(path), this.#within(signal)).catch(noneWhere404);
    for (const folder of foldersAbove(path)) {
      const found = await this.#look(folder, signal);
      if (!found) continue;
      if (found.files.size > 0 || found.folders.length > 0) break;
      await this.#client.deleteFile(at(folder), this.#within(signal)).catch(noneWhere404);
    }
  }

  #within(signal: AbortSignal, bytes = 0) {
    const patience = this.#patience + Math.ceil(bytes / SLOWEST_BYTES_PER_MS);
    return { signal: AbortSignal.any([signal, AbortSignal.timeout(patience)]) };
  }

  /** What is in a folder; undefined where there is none. */
  async #look(folder: string, signal: AbortSignal): Promise<Inside | undefined> {
    const asked = this.#client.getDirectoryContents(at(folder), this.#within(signal));
    const found = (await asked.catch(noneWhere404)) as FileStat[] | undefined;
    const named = found?.filter(({ basename }) => isName(basename));
    const before = folder === '' ? '' : `${folder}/`;
    return (
      named && {
        folders: named
          .filter(({ type }) => type === 'directory')
          .map(({ basename }) => basename)
          .sort(),
        files: new Map(
          named
            .filter(({ type, size }) => type === 'file' && size <= MOST_BYTES)
            .map((stat) => [`${before}${stat.basename}`, fileOf(stat)]),
        ),
      }
    );
  }

  /** Makes the folders above it where they are not there yet. */
  async #writePart(path: string, content: Uint8Array, signal: AbortSignal): Promise<string> {
    const part = `${at(path)}.part`;
    try {
      await this.#put(part, content, signal);
    } catch (error) {
      if (!NO_FOLDER.has(statusOf(error) ?? 0)) throw error;
      for (const folder of foldersAbove(path).toReversed()) await this.#makeFolder(folder, signal);
      await this.#put(part, content, signal);
    }
    return part;
  }

  async #put(path: string, content: Uint8Array, signal: AbortSignal): Promise<void> {
    const within = this.#within(signal, content.length);
    await this.#client.putFileContents(path, Buffer.from(content), within);
  }

  async #forgetPart(part: string, signal: AbortSignal): Promise<void> {
    await this.#client.deleteFile(part, this.#within(signal)).catch(() => undefined);
  }

  async #makeFolder(folder: string, signal: AbortSignal): Promise<void> {
    try {
      await this.#client.createDirectory(at(folder), this.#within(signal));
    } catch (error) {
      // It is there already (RFC 4918, 9.3.1).
      if (statusOf(error) !== 405) throw error;
    }
  }
}

interface Inside {
  readonly folders: readonly string[];
  /** By path. */
  readonly files: ReadonlyMap<string, FileOutside>;
}

const at = (path: string): string => `/${path}`;

/** A server that has no MOVE, or stands behind a gate that spoils it. */
const NO_MOVE = new Set([400, 403, 405, 501, 502]);
/** What servers say to a file without its folder: 409 by RFC 4918, 9.7.1; some 403 or 404. */
const NO_FOLDER = new Set([403, 404, 409]);

const fileOf = ({ etag, lastmod, size }: FileStat): FileOutside => ({
  // Some servers give the time with an attribute, and the client then an object; some call the mark of a fresh file weak.
  stamp: JSON.stringify([etag?.replace(/^W\//, ''), lastmod, size]),
  bytes: size,
});

function noneWhere404(error: unknown): undefined {
  if (statusOf(error) === 404) return undefined;
  throw error;
}

/** Runs through all, some at once; the first failure ends it. */
async function eachOf<T>(
  all: readonly T[],
  atOnce: number,
  act: (one: T) => Promise<void>,
): Promise<void> {
  const waiting = [...all];
  const run = async (): Promise<void> => {
    for (let one = waiting.shift(); one !== undefined; one = waiting.shift()) await act(one);
  };
  await Promise.all(Array.from({ length: atOnce }, run));
}

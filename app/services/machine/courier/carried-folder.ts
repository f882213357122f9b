// A folder that a syncing program or a network drive carries, where what is written there is locked.
import fs from 'node:fs/promises';
import path from 'node:path';
import { HOME } from '../shared/places.ts';
import { errorCode } from '../store/durable.ts';
import {
  type FileOutside,
  foldersAbove,
  isName,
  isWriter,
  MOST_BYTES,
  type Outside,
} from './outside.ts';

/** A folder that another program carries between machines. @param folder with its whole path; it must be there */
export function carriedFolder(folder: string): Outside {
  const at = (file: string): string => path.join(folder, ...file.split('/'));
  return {
    name: folder,
    list: () => list(folder),
    makeHome: async () => {
      await fs.access(folder);
      await fs.mkdir(at(HOME), { recursive: true });
    },
    read: (file) => fs.readFile(at(file)),
    write: async (file, content) => {
      const part = await writePart(at(file), content);
      await fs.rename(part, at(file));
      return standing(at(file));
    },
    writeNew: async (file, content) => {
      const part = await writePart(at(file), content);
      try {
        await fs.copyFile(part, at(file), fs.constants.COPYFILE_EXCL);
        return true;
      } catch (error) {
        if (errorCode(error) === 'EEXIST') return false;
        throw error;
      } finally {
        await fs.rm(part, { force: true });
      }
    },
    remove: async (file) => {
      await fs.rm(at(file), { force: true });
      for (const above of foldersAbove(file)) {
        if (!(await fs.rmdir(at(above)).then(yes, noWhereFull))) break;
      }
    },
  };
}

async function writePart(file: string, content: Uint8Array): Promise<string> {
  const part = `${file}.part`;
  await fs.mkdir(path.dirname(file), { recursive: true });
  await fs.writeFile(part, content, { flush: true });
  return part;
}

async function list(folder: string): Promise<Map<string, FileOutside> | undefined> {
  const { folders } = await inside(folder);
  if (!folders.includes(HOME)) return undefined;
  const listing = new Map<string, FileOutside>();
  const places = folders.filter((name) => name !== HOME).map((name) => `${name}/${HOME}`);
  for (const home of [HOME, ...places]) await takeHome(folder, home, listing);
  return listing;
}

async function takeHome(folder: string, home: string, listing: Map<string, FileOutside>) {
  const found = await inside(path.join(folder, home)).catch(noneWhereAway);
  if (!found) return;
  const take = async (within: string, names: readonly string[]): Promise<void> => {
    for (const name of names) {
      const file = await standing(path.join(folder, within, name));
      if (file.bytes <= MOST_BYTES) listing.set(`${within}/${name}`, file);
    }
  };
  await take(home, found.files);
  for (const writer of found.folders.filter(isWriter)) {
    const within = `${home}/${writer}`;
    await take(within, (await inside(path.join(folder, within))).files);
  }
}

async function inside(folder: string) {
  const entries = (await fs.readdir(folder, { withFileTypes: true })).filter(({ name }) =>
    isName(name),
  );
  return {
    folders: entries.filter((entry) => entry.isDirectory()).map(({ name }) => name),
    files: entries.filter((entry) => entry.isFile()).map(({ name }) => name),
  };
}

async function standing(file: string): Promise<FileOutside> {
  const { size, mtimeMs } = await fs.stat(file);
  return { stamp: `${mtimeMs} ${size}`, bytes: size };
}

const yes = (): boolean => true;
function noWhereFull(error: unknown): boolean {
  if (['ENOTEMPTY', 'EEXIST', 'ENOENT', 'EPERM'].includes(errorCode(error))) return false;
  throw error;
}

function noneWhereAway(error: unknown): undefined {
  if (errorCode(error) === 'ENOENT') return undefined;
  throw error;
}

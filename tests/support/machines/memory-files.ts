// A file system in memory for the shared folder: as fast as a map, and it fails where it is told to.
import path from 'node:path';
import { type Files, PART } from '../../../app/services/machine/shared/files.ts';

interface Held {
  readonly text: string;
  readonly time: number;
}
type Folder = Map<string, Folder | Held>;

const isFolder = (node: Folder | Held | undefined): node is Folder => node instanceof Map;
/** Paths are few and asked for often. */
const knownParts = new Map<string, readonly string[]>();

function partsOf(at: string): readonly string[] {
  const known = knownParts.get(at);
  if (known) return known;
  const parts = at.split(path.sep).filter((part) => part !== '');
  if (knownParts.size > 10_000) knownParts.clear();
  knownParts.set(at, parts);
  return parts;
}

export class MemoryDisk {
  readonly #root: Folder = new Map();
  #time = 0;

  find(at: string): Folder | Held | undefined {
    let node: Folder | Held | undefined = this.#root;
    for (const part of partsOf(at)) node = isFolder(node) ? node.get(part) : undefined;
    return node;
  }

  makeFolder = (at: string): Folder => {
    let folder = this.#root;
    for (const part of partsOf(at)) {
      const inside = folder.get(part);
      if (inside && !isFolder(inside)) throw new Error(`${at} is a file`);
      if (inside) folder = inside;
      else folder.set(part, (folder = new Map() as Folder));
    }
    return folder;
  };

  put(at: string, text: string): void {
    this.makeFolder(path.dirname(at)).set(path.basename(at), {
      text,
      time: ++this.#time,
    });
  }

  text(at: string): string | undefined {
    const found = this.find(at);
    return found && !isFolder(found) ? found.text : undefined;
  }

  remove(at: string): void {
    const above = this.find(path.dirname(at));
    if (isFolder(above)) above.delete(path.basename(at));
  }

  /** Whole paths of all files below, in the order of their names; also of those that were not written to their end. */
  filesBelow(at: string): readonly string[] {
    const folder = this.find(at);
    if (!isFolder(folder)) return [];
    return [...folder.keys()]
      .sort()
      .flatMap((name) =>
        isFolder(folder.get(name)) ? this.filesBelow(path.join(at, name)) : [path.join(at, name)],
      );
  }

  /** The texts of all files below, by their whole paths. */
  copyOf(at: string): ReadonlyMap<string, string> {
    return new Map(this.filesBelow(at).map((file) => [file, this.text(file)!]));
  }

  /** Puts these in the place of all that is below. */
  exchange(at: string, files: ReadonlyMap<string, string>): void {
    this.remove(at);
    this.makeFolder(at);
    for (const [file, text] of files) this.put(file, text);
  }

  /** @param fuse called before and after whatever changes something; it throws where the program dies there */
  files(fuse: (at: string, text?: string) => void): Files {
    const held = (file: string): Held => {
      const found = this.find(file);
      if (!found || isFolder(found)) throw new Error(`there is no file ${file}`);
      return found;
    };
    const change = (at: string, work: () => unknown, text?: string): void => {
      fuse(at, text);
      work();
      fuse(at);
    };
    const write = (file: string, text: string): void => {
      if (!isFolder(this.find(path.dirname(file)))) throw new Error(`no folder for ${file}`);
      // As on a disk: it is written beside, and takes the name when it is whole.
      change(`${file}${PART}`, () => this.put(`${file}${PART}`, text));
      change(
        file,
        () => {
          this.remove(`${file}${PART}`);
          this.put(file, text);
        },
        text,
      );
    };
    return {
      isFolder: (at) => isFolder(this.find(at)),
      inside: (at) => {
        const folder = this.find(at);
        if (!isFolder(folder)) return [];
        return [...folder].map(([name, node]) => ({
          name,
          isFolder: isFolder(node),
        }));
      },
      stamp: (file) => ({
        bytes: held(file).text.length,
        time: held(file).time,
      }),
      read: (file) => held(file).text,
      makeFolder: (at) => change(at, () => this.makeFolder(at)),
      write,
      writeClosed: write,
      remove: (file) => change(file, () => this.remove(file)),
      removeFolder: (at) => change(at, () => this.remove(at)),
      removeIfEmpty: (at) => {
        const folder = this.find(at);
        if (isFolder(folder) && folder.size === 0) change(at, () => this.remove(at));
      },
    };
  }
}

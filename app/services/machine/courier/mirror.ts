// The copy of a shared folder in the data folder, and what both sides agreed on when they last met.
import { createHash } from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';
import { writeFileSync } from 'atomically';
import { z } from 'zod';
import { SEGMENT_ENDING } from '../../../core/exchange/shared/segment.ts';
import { makeFolder } from '../store/make-folder.ts';
import { HOME, segmentFilesIn } from '../shared/places.ts';
import { foldersAbove, partsOf } from './outside.ts';
import type { Agreed } from './plan.ts';

const noteSchema = z.object({
  /** Every name under which this computer wrote. */
  own: z.array(z.string()),
  agreed: z.record(z.string(), z.object({ hash: z.string(), stamp: z.string() })),
});

/** SHA-256 (FIPS 180-4) in hexadecimal. */
export const hashOf = (content: Uint8Array): string =>
  createHash('sha256').update(content).digest('hex');

export class Mirror {
  /** Where the shared folder looks. */
  readonly folder: string;
  readonly #note: string;
  readonly #own: Set<string>;
  readonly #agreed: Map<string, Agreed>;
  #removed = false;
  /** By path, size and time: what was read once is not read again. */
  readonly #hashes = new Map<string, string>();

  constructor(folder: string) {
    this.folder = folder;
    this.#note = path.join(folder, 'agreed.json');
    makeFolder(path.join(folder, HOME));
    const note = readNote(this.#note);
    this.#own = new Set(note.own);
    this.#agreed = new Map(Object.entries(note.agreed));
  }

  get agreed(): ReadonlyMap<string, Agreed> {
    return this.#agreed;
  }

  isOwn = (file: string): boolean => this.#own.has(partsOf(file)?.writer ?? '');
  addOwn(writers: readonly string[]): void {
    writers.forEach((writer) => this.#own.add(writer));
  }
  /** Whether what a file holds stands in a later one of its writer. */
  isReplaced: (file: string) => boolean = () => false;
  /** The whole folder of its writer is gone, or it was gathered with others. */
  isTakenAway = (file: string): boolean =>
    !fs.existsSync(path.dirname(this.#at(file))) || this.isReplaced(file);

  /** The hash of every file by its path from the shared folder on. */
  files(): ReadonlyMap<string, string> {
    const files = segmentFilesIn(this.folder)
      .map((file) => path.relative(this.folder, file).split(path.sep).join('/'))
      .filter((file) => partsOf(file) !== undefined);
    return new Map(files.map((file) => [file, this.#hash(file)]));
  }

  /** Files of this computer that are not outside as they are here. */
  unsent(): number {
    return [...this.files()].filter(
      ([file, hash]) => this.isOwn(file) && this.#agreed.get(file)?.hash !== hash,
    ).length;
  }

  read = (file: string): Uint8Array => fs.readFileSync(this.#at(file));

  /** Nothing is written here any more, whatever is still on its way. */
  remove(): void {
    this.#removed = true;
    fs.rmSync(this.folder, { recursive: true, force: true });
  }

  /** Whole or not at all. */
  write(file: string, content: Uint8Array): void {
    if (this.#removed) return;
    makeFolder(path.dirname(this.#at(file)));
    const part = `${this.#at(file)}.part`;
    fs.writeFileSync(part, content, { mode: 0o600, flush: true });
    fs.renameSync(part, this.#at(file));
  }

  drop(file: string): void {
    if (this.#removed) return;
    fs.rmSync(this.#at(file), { force: true });
    this.#agreed.delete(file);
    for (const folder of foldersAbove(file).map(this.#at)) {
      if (fs.readdirSync(folder).length > 0) break;
      fs.rmdirSync(folder);
    }
  }

  /** It is nowhere any more. */
  forget(file: string): void {
    this.#agreed.delete(file);
  }

  /** Under a name beside its own, which is read all the same. */
  setBeside(file: string): void {
    const { dir, name } = path.parse(this.#at(file));
    const beside = `${name} (${this.#hash(file).slice(0, 8)})${SEGMENT_ENDING}`;
    fs.renameSync(this.#at(file), path.join(dir, beside));
    this.#agreed.delete(file);
  }

  agree(file: string, agreed: Agreed): void {
    this.#agreed.set(file, agreed);
  }

  /** What stands outside is looked at as if for the first time. */
  forgetAgreed(): void {
    this.#agreed.clear();
    this.keep();
  }

  keep(): void {
    if (this.#removed) return;
    const note = { own: [...this.#own], agreed: Object.fromEntries(this.#agreed) };
    writeFileSync(this.#note, JSON.stringify(note), { mode: 0o600 });
  }

  #at = (file: string): string => path.join(this.folder, ...file.split('/'));

  #hash(file: string): string {
    const { size, mtimeMs } = fs.statSync(this.#at(file));
    const key = `${file}\n${size}\n${mtimeMs}`;
    const hash = this.#hashes.get(key) ?? hashOf(this.read(file));
    this.#hashes.set(key, hash);
    return hash;
  }
}

/** Lost or spoilt, it costs only that both sides are compared once more. */
function readNote(file: string): z.infer<typeof noteSchema> {
  try {
    return noteSchema.parse(JSON.parse(fs.readFileSync(file, 'utf8')));
  } catch {
    return { own: [], agreed: {} };
  }
}

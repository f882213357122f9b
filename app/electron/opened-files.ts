// Files the system hands to the program (a double click, a start with a file's name), until the page takes them.
import fs from 'node:fs/promises';
import path from 'node:path';
import { app } from 'electron';
import type { OpenedFile } from '../services/contract/host.ts';
import { FILE_ENDINGS } from './file-endings.ts';

/** The largest file that is read; the page's readers have limits of their own. Bytes. */
const LARGEST = 20_000_000;

export class OpenedFiles {
  #waiting: string[] = [];
  readonly #tell: () => void;

  /** @param tell Called when files have come. */
  constructor(tell: () => void) {
    this.#tell = tell;
  }

  /** From the arguments of a start. Options and files of other kinds are passed over. */
  fromArguments = (argv: readonly string[], folder: string): void =>
    this.add(argv.filter(isOurs).map((file) => path.resolve(folder, file)));

  add = (files: readonly string[]): void => {
    if (files.length === 0) return;
    this.#waiting.push(...files);
    this.#tell();
  };

  /** Hands over what waits, once. A file that cannot be read comes with the reason. */
  take = async (): Promise<readonly OpenedFile[]> => Promise.all(this.#waiting.splice(0).map(read));
}

const isOurs = (argument: string): boolean =>
  !argument.startsWith('-') &&
  FILE_ENDINGS.some((ending) => argument.toLowerCase().endsWith(`.${ending}`));

async function read(file: string): Promise<OpenedFile> {
  const name = path.basename(file);
  try {
    const { size } = await fs.stat(file);
    if (size > LARGEST) return { name, why: `it is larger than ${LARGEST / 1e6} MB` };
    app.addRecentDocument(file);
    return { name, base64: (await fs.readFile(file)).toString('base64') };
  } catch (error) {
    return { name, why: error instanceof Error ? error.message : String(error) };
  }
}

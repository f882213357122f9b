// Where Electron's own executable is, if it has been fetched: since version 42 the package comes without it.
import fs from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

const electronPackage = fileURLToPath(new URL('../node_modules/electron', import.meta.url));

/** The script that fetches it. */
export const electronInstaller = path.join(electronPackage, 'install.js');

/** Electron's executable; undefined where it was not downloaded. */
export function electronRuntime(): string | undefined {
  const note = path.join(electronPackage, 'path.txt');
  if (!fs.existsSync(note)) return undefined;
  const executable = path.join(electronPackage, 'dist', fs.readFileSync(note, 'utf8'));
  return fs.existsSync(executable) ? executable : undefined;
}

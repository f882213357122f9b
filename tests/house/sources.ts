// The program's own sources, read from disk.
import fs from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('../..', import.meta.url));

/** Text by path from the root, `/` between folders, of everything in app and renderer and the build's configuration. */
export function readSources(): Map<string, string> {
  const files = ['app', 'renderer'].flatMap((folder) =>
    fs
      .readdirSync(path.join(root, folder), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile() && /\.(ts|svelte)$/.test(entry.name))
      .map((entry) => path.relative(root, path.join(entry.parentPath, entry.name))),
  );
  return new Map(
    [...files, 'electron.config.ts'].map((file) => [
      file.split(path.sep).join('/'),
      fs.readFileSync(path.join(root, file), 'utf8'),
    ]),
  );
}

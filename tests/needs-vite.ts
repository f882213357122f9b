// Which test files need Vite: those that reach a Svelte file. Node runs all others by itself, as it runs the program.
import fs from 'node:fs';
import path from 'node:path';

/** Node drops these; what is left is loaded. A file that is not found out here fails to load, and says so. */
const TYPES = /^(?:import|export) type [^;]*;$/gmu;
const LOADED = /(?:\bfrom|\bimport)\s*\(?\s*'(\.[^']+\.(?:ts|svelte))'/gu;
const SVELTE = /\.svelte(?:\.ts)?$/u;

const known = new Map<string, readonly string[]>();

/** The files of ours that a file loads. */
function loadedBy(file: string): readonly string[] {
  const before = known.get(file);
  if (before) return before;
  const text = fs.readFileSync(file, 'utf8').replace(TYPES, '');
  const loaded = [...text.matchAll(LOADED)]
    .map(([, name]) => path.join(path.dirname(file), name!))
    .filter((one) => fs.existsSync(one));
  known.set(file, loaded);
  return loaded;
}

/** Does the file load a Svelte file, itself or by others? */
export function needsVite(file: string): boolean {
  const seen = new Set([file]);
  for (const one of seen) {
    if (SVELTE.test(one)) return true;
    for (const next of loadedBy(one)) seen.add(next);
  }
  return false;
}

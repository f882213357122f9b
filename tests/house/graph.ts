// Who imports whom in the sources: one list of imports a file, types, workers and Svelte scripts among them.
import path from 'node:path';
import ts from 'typescript';

/** What one source file imports. Paths are relative to the repository's root and use `/`. */
export interface SourceFile {
  readonly file: string;
  /** Source files it imports, for their values or their types, or starts as workers. */
  readonly files: readonly string[];
  /** Packages and built-in modules, as written: `zod`, `tone/build/x.js`, `node:fs`. */
  readonly packages: readonly string[];
}

const SCRIPT = /<script[^>]*>([\s\S]*?)<\/script>/g;
const WORKER = /new URL\(\s*'([^']+\.ts)',\s*import\.meta\.url/g;
const COMMENT = /^\s*(?:\/?\*|\/\/).*$/gm;
const SOURCE = /\.(ts|svelte)$/;

/** @param sources Text by path. Files that are neither TypeScript nor Svelte are passed over. */
export function readGraph(sources: ReadonlyMap<string, string>): SourceFile[] {
  return [...sources].filter(([file]) => SOURCE.test(file)).map(([file, text]) => read(file, text));
}

function read(file: string, text: string): SourceFile {
  const names = [...new Set(importedNames(scriptOf(file, text)))];
  const here = path.posix.dirname(file);
  return {
    file,
    files: names
      .filter((name) => name.startsWith('.') && SOURCE.test(name))
      .map((name) => path.posix.join(here, name)),
    packages: names.filter((name) => !name.startsWith('.')),
  };
}

const scriptOf = (file: string, text: string): string =>
  file.endsWith('.svelte') ? [...text.matchAll(SCRIPT)].map((match) => match[1]).join('\n') : text;

/**
 * Dependency-cruiser would do most of this, but it sees a Svelte file after its types are gone, does not see
 * workers, and lets a folder and its own subfolder import each other.
 */
function importedNames(script: string): string[] {
  const { importedFiles } = ts.preProcessFile(script, true, true);
  const workers = [...script.replace(COMMENT, '').matchAll(WORKER)].map((match) => match[1]!);
  return [...importedFiles.map(({ fileName }) => fileName), ...workers];
}

// Unit, reference and fault tests: everything that needs no browser.
import fs from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';
import { LongestFirst } from './longest-first.ts';
import { needsVite } from './needs-vite.ts';

const root = fileURLToPath(new URL('..', import.meta.url));
const ALL = 'tests/{unit,reference,faults}/**/*.test.ts';
/** Test files that put a module of their own in another's place: only these need a world to themselves. */
const FILES = fs.globSync(ALL, { cwd: root }).map((file) => file.split(path.sep).join('/'));
const MOCKING = FILES.filter((file) => /vi\.(mock|doMock|resetModules)\(/.test(read(file)));
const SVELTE = FILES.filter((file) => !MOCKING.includes(file) && needsVite(path.join(root, file)));

function read(file: string): string {
  return fs.readFileSync(path.join(root, file), 'utf8');
}

/** Node by itself: product code runs as it does in the program, and nothing need be rewritten first. */
const PLAIN = { experimental: { viteModuleRunner: false, nodeLoader: false } };
/** What Node keeps of it. */
const KEPT = { execArgv: [`--import=${new URL('keep-compiled.ts', import.meta.url).href}`] };
/** Coverage is counted on what Vite makes of the sources. */
const COUNTED = process.argv.includes('--coverage');

export default defineConfig({
  plugins: [svelte({ configFile: false })],
  root,
  test: {
    // Most of the time of a file is the loading of what it tests, so files share what is loaded.
    projects: [
      { extends: true, test: { name: 'alone', include: MOCKING } },
      { extends: true, test: { name: 'svelte', include: SVELTE, isolate: false } },
      {
        extends: true,
        test: {
          ...{ name: 'plain', include: [ALL], exclude: [...MOCKING, ...SVELTE], isolate: false },
          ...(!COUNTED && { ...PLAIN, ...KEPT }),
        },
      },
    ],
    maxWorkers: '100%',
    // What was transformed is kept for the next run, under what it was made of.
    fsModuleCache: true,
    sequence: { sequencer: LongestFirst },
    server: { deps: { inline: ['electron-store'] } },
    globalSetup: ['tests/in-memory.ts'],
    setupFiles: ['tests/setup.ts'],
    // With room for a machine that does other things as well.
    testTimeout: 300_000,
    // Asked for by `npm run coverage`: the shell and the machine side, which must not lose what was played.
    coverage: {
      provider: 'v8',
      include: ['app/electron/*.ts', 'app/services/{contract,machine}/**/*.ts'],
      // Stands in for what the built program leaves out, and is there to throw.
      exclude: ['app/electron/unused-by-conf.ts'],
      reportsDirectory: 'test-results/coverage',
      reporter: ['text'],
      // A little below what is reached; the scenarios in tests/desktop run the rest of the shell.
      thresholds: {
        'app/electron/*.ts': { lines: 75 },
        'app/services/machine/**/*.ts': { lines: 88 },
      },
    },
  },
  resolve: { conditions: ['browser'] },
});

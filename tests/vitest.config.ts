// Unit, reference and fault tests: everything that needs no browser.
import { fileURLToPath } from 'node:url';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

export default defineConfig({
  plugins: [svelte({ configFile: false })],
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    include: ['tests/{unit,reference,faults}/**/*.test.ts'],
    server: { deps: { inline: ['electron-store'] } },
    setupFiles: ['tests/setup.ts'],
    testTimeout: 30_000,
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

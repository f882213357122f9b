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
  },
  resolve: { conditions: ['browser'] },
});

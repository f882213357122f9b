// How the three parts of the program are built: main process, preload and view. electron-vite reads it with
// `-c electron.config.ts`; `app/build.ts` builds the view alone from the same part where no Electron is there.
import { fileURLToPath } from 'node:url';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'electron-vite';

const at = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

export default defineConfig({
  main: {
    build: {
      outDir: at('out/main'),
      // Everything is bundled: the packaged program carries no node_modules.
      externalizeDeps: false,
      rolldownOptions: {
        input: { index: at('app/electron/main.ts') },
        external: ['electron'],
      },
    },
  },
  preload: {
    build: {
      outDir: at('out/preload'),
      externalizeDeps: false,
      rolldownOptions: {
        input: { index: at('app/electron/preload.ts') },
        // A sandboxed preload must be CommonJS.
        output: { format: 'cjs', entryFileNames: '[name].cjs' },
      },
    },
  },
  renderer: {
    root: at('renderer'),
    plugins: [svelte({ configFile: false })],
    resolve: {
      alias: {
        // Tone on the browser's own Web Audio.
        'standardized-audio-context': at('renderer/audio/native-audio.ts'),
        // Its module build has no default export; Node and the view are to read the same file.
        wavefile: 'wavefile/dist/wavefile.js',
      },
    },
    build: {
      outDir: at('out/renderer'),
      emptyOutDir: true,
      minify: true,
      // Small files stay files: `data:` scripts and fonts are refused by the content policy.
      assetsInlineLimit: 0,
      modulePreload: { polyfill: false },
      rolldownOptions: {
        input: { index: at('renderer/index.html') },
        // On a slow machine it tells how long plugins took, which nobody asked.
        checks: { pluginTimings: false },
      },
    },
  },
});

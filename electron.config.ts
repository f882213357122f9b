// How the three parts of the program are built: main process, preload and view. electron-vite reads it with
// `-c electron.config.ts`; `app/build.ts` builds the view alone from the same part where no Electron is there.
import { fileURLToPath } from 'node:url';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'electron-vite';
import type { CompileOptions } from 'svelte/compiler';
import type { Plugin, Rolldown } from 'vite';

const at = (path: string): string => fileURLToPath(new URL(path, import.meta.url));

/**
 * Makes each `new Worker(new URL('./x-worker.ts', import.meta.url))` an entry of the same build, so that
 * threads and page share their chunks. Vite by itself bundles every worker with a copy of all it needs.
 */
function workersShareChunks(): Plugin {
  const WORKER = /new URL\(\s*'(\.[^']*worker\.ts)',\s*import\.meta\.url,?\s*\)/g;
  return {
    name: 'workers-share-chunks',
    enforce: 'pre',
    apply: 'build',
    async transform(code, id) {
      let shared = code;
      for (const [whole, file] of code.matchAll(WORKER)) {
        const worker = await this.resolve(file!, id);
        if (!worker) this.error(`${file} is not there`);
        const entry = this.emitFile({ type: 'chunk', id: worker.id });
        shared = shared.replace(whole, `import.meta.ROLLUP_FILE_URL_${entry}`);
      }
      return shared === code ? undefined : { code: shared, map: null };
    },
  };
}

/**
 * electron-store stands on conf, which brings ajv for schemas and semver for migrations, a third of the whole bundle.
 * Neither is asked for: what is stored is checked with zod, and its forms have whole numbers. The updater has its own
 * semver, so only conf's imports are led elsewhere.
 */
function confWithoutSchemas(): Plugin {
  const UNUSED = new Set(['ajv/dist/2020.js', 'ajv-formats', 'semver']);
  return {
    name: 'conf-without-schemas',
    enforce: 'pre',
    resolveId: (source, importer = '') =>
      UNUSED.has(source) && /[\\/]node_modules[\\/]conf[\\/]/.test(importer)
        ? at('app/electron/unused-by-conf.ts')
        : undefined,
  };
}

/** zod can make JSON schemas of what it checks by; nobody asks for one, and they are a tenth of the main bundle. */
function zodWithoutJsonSchemas(): Plugin {
  const UNUSED =
    /[\\/]zod[\\/]v4[\\/]core[\\/](to-json-schema|json-schema-(processors|generator))\.js$/;
  const NAMES = /^export (?:const|function|class) (\w+)|^export \{ \w+ as (\w+) \}/gm;
  return {
    name: 'zod-without-json-schemas',
    apply: 'build',
    transform(code, id) {
      if (!UNUSED.test(id)) return undefined;
      const names = [...code.matchAll(NAMES)].map(([, one, other]) => `unused as ${one ?? other}`);
      const unused = "const unused = () => { throw new Error('JSON schemas are left out'); };";
      return { code: `${unused} export { ${names.join()} };`, map: null };
    },
  };
}

/** The licences of all packages that a part is made of; `app/build.ts` brings them together. */
const license = { fileName: 'notices.json' };

/** tonal's package exports every part of itself, and its parts do not say that loading them does nothing else. */
const treeshake: Rolldown.TreeshakingOptions = {
  moduleSideEffects: [{ test: /@tonaljs/, sideEffects: false }],
};

/** Every component is written in runes, so Svelte's older mode stays out. */
const compilerOptions: CompileOptions = { runes: true };

// How the built view is cut into files: no thread loads what draws, the first screen nothing it does not show, and a
// room nothing of another; few files, because each packs worse than all together and costs a request.
type Graph = Rolldown.ChunkingContext;
type Root = 'first screen' | `thread-${string}` | 'climb' | 'later' | `room-${string}`;

/** The shell, and the room it opens on a new machine. */
const FIRST_SCREEN = /[\\/]renderer[\\/](main\.ts|screens[\\/]today[\\/]Today\.svelte)$/;
const THREAD = /([\w-]+)[.-]worker\.ts$/;
/** Comes with the first sound. */
const CLIMB = /[\\/]state[\\/]stage[\\/]open-climb\.ts$/;
const ROOM = /[\\/]renderer[\\/]screens[\\/]([^\\/]+)[\\/]/;

/** In order of precedence; what falls to none of them is cut as Rolldown sees fit. */
const viewChunks: Rolldown.CodeSplittingGroup[] = [
  of('common', 4, (roots) => [...roots].some(isThread) && roots.has('first screen')),
  of('threads', 4, (roots) => [...roots].some(isThread) && roots.size > 1),
  of('first', 3, (roots) => roots.has('first screen')),
  of('climb', 2, (roots) => roots.has('climb')),
  // What rooms share; sound, and what reads and writes files, waits for its first use.
  of('rooms', 1, (roots) => [...roots].filter(isRoom).length > 1),
  { name: (id, graph) => roomAlone([...rootsOf(id, graph)]), priority: 0 },
];

function of(
  name: string,
  priority: number,
  takes: (roots: ReadonlySet<Root>, id: string) => boolean,
): Rolldown.CodeSplittingGroup {
  return { name: (id, graph) => (takes(rootsOf(id, graph), id) ? name : null), priority };
}

function roomOf(id: string): Root | undefined {
  const [, room] = ROOM.exec(id) ?? [];
  return room === undefined ? undefined : `room-${room}`;
}

const isRoom = (root: Root): boolean => root.startsWith('room-');
const isThread = (root: Root): boolean => root.startsWith('thread-');

const roomAlone = ([root, ...more]: readonly Root[]): string | null =>
  root !== undefined && more.length === 0 && isRoom(root) ? root : null;

/** Whence a module is reached by imports that are not put off. */
function rootsOf(id: string, graph: Graph): ReadonlySet<Root> {
  const roots = new Set<Root>();
  // A set grows while it is walked.
  const above = new Set([id]);
  for (const module of above) {
    const importers = graph.getModuleInfo(module)?.importers ?? [];
    if (FIRST_SCREEN.test(module)) roots.add('first screen');
    else if (THREAD.test(module)) roots.add(`thread-${THREAD.exec(module)![1]!}`);
    else if (CLIMB.test(module)) roots.add('climb');
    else if (importers.length === 0) roots.add(roomOf(module) ?? 'later');
    else importers.forEach((importer) => above.add(importer));
  }
  return roots;
}

export default defineConfig({
  main: {
    plugins: [confWithoutSchemas(), zodWithoutJsonSchemas()],
    resolve: {
      // fflate's form for Node makes a `require` for its threads, which are not used, and electron-vite makes another.
      alias: [{ find: /^fflate$/, replacement: 'fflate/browser' }],
    },
    build: {
      license,
      outDir: at('out/main'),
      // Everything is bundled: the packaged program carries no node_modules.
      externalizeDeps: false,
      minify: true,
      rolldownOptions: {
        input: { index: at('app/electron/main.ts') },
        external: ['electron'],
        treeshake,
      },
    },
  },
  preload: {
    build: {
      license,
      outDir: at('out/preload'),
      externalizeDeps: false,
      minify: true,
      rolldownOptions: {
        input: { index: at('app/electron/preload.ts') },
        // A sandboxed preload must be CommonJS.
        output: { format: 'cjs', entryFileNames: '[name].cjs' },
      },
    },
  },
  renderer: {
    root: at('renderer'),
    plugins: [
      svelte({ configFile: false, compilerOptions }),
      workersShareChunks(),
      zodWithoutJsonSchemas(),
    ],
    resolve: {
      alias: {
        // Tone on the browser's own Web Audio.
        'standardized-audio-context': at('renderer/audio/native-audio.ts'),
      },
    },
    build: {
      license,
      outDir: at('out/renderer'),
      emptyOutDir: true,
      minify: true,
      // Small files stay files: `data:` scripts and fonts are refused by the content policy.
      assetsInlineLimit: 0,
      modulePreload: { polyfill: false },
      rolldownOptions: {
        input: { index: at('renderer/index.html') },
        output: { codeSplitting: { groups: viewChunks } },
        treeshake,
        // On a slow machine it tells how long plugins took, which nobody asked.
        checks: { pluginTimings: false },
      },
    },
  },
});

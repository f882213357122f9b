// `npm run build`: the main process, the preload and the view, built into out/; no Electron runtime is needed for it.
// `--view` builds the view alone.
import fs from 'node:fs';
import path from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { gatherNotices } from './notices.ts';

const root = fileURLToPath(new URL('..', import.meta.url));
const packages = path.join(root, 'node_modules');

/** Folder of the built view. */
export const builtView = path.join(root, 'out', 'renderer');
/** The built main process. */
export const builtMain = path.join(root, 'out', 'main', 'index.js');

/** What the built parts are made of. */
const SOURCES = ['app', 'renderer', 'assets', 'electron.config.ts', 'package-lock.json'];

/** Builds all three parts by electron-vite. */
export async function buildAll(): Promise<void> {
  const { build } = await import('electron-vite');
  await build({ configFile: path.join(root, 'electron.config.ts'), root, logLevel: 'warn' });
  const parts = ['main', 'preload'].map((part) => path.join(root, 'out', part));
  gatherNotices(builtView, parts, packages);
}

/** Builds the view alone, from the same part of the configuration. */
export async function buildView(folder = builtView): Promise<void> {
  const [{ build }, config] = await Promise.all([
    import('vite'),
    import('../electron.config.ts').then((module) => module.default),
  ]);
  if (typeof config !== 'object' || !('renderer' in config)) throw new Error('no view to build');
  const { renderer } = config;
  await build({
    ...renderer,
    build: { ...renderer?.build, outDir: folder },
    configFile: false,
    logLevel: 'warn',
  });
  gatherNotices(folder, [], packages);
}

/** Is something that a built file is made of younger than it? */
export function isOutOfDate(built: string): boolean {
  const time = fs.statSync(built, { throwIfNoEntry: false })?.mtimeMs;
  return time === undefined || SOURCES.some((source) => youngest(path.join(root, source)) > time);
}

/** A folder's own time tells of files that were removed. */
function youngest(file: string): number {
  const stat = fs.statSync(file, { throwIfNoEntry: false });
  if (!stat) return 0;
  if (!stat.isDirectory()) return stat.mtimeMs;
  const below = fs.readdirSync(file).map((name) => youngest(path.join(file, name)));
  return Math.max(stat.mtimeMs, ...below);
}

const isMain = process.argv[1] && import.meta.url === pathToFileURL(process.argv[1]).href;
if (isMain && process.argv.includes('--view')) await buildView();
else if (isMain) {
  await buildAll();
  console.log(`Built into ${path.join(root, 'out')}.`);
}

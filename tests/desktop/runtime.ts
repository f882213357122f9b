// Is Electron's runtime here, and a display for its window? Where not, one sentence says so.
import fs from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';

export const root = fileURLToPath(new URL('../..', import.meta.url));

/** Electron's executable, or undefined when only its package is installed. */
export function electronPath(): string | undefined {
  const folder = path.join(root, 'node_modules', 'electron');
  const note = path.join(folder, 'path.txt');
  if (!fs.existsSync(note)) return undefined;
  const executable = path.join(folder, 'dist', fs.readFileSync(note, 'utf8'));
  return fs.existsSync(executable) ? executable : undefined;
}

/** Found on the search path; it gives a window a display where there is none. */
export const virtualDisplay = (): string | undefined =>
  (process.env['PATH'] ?? '')
    .split(path.delimiter)
    .map((folder) => path.join(folder, 'xvfb-run'))
    .find((file) => fs.existsSync(file));

const hasDisplay = (): boolean =>
  process.platform !== 'linux' || Boolean(process.env['DISPLAY'] || process.env['WAYLAND_DISPLAY']);

/** How the desktop suite can be run, or why it cannot. */
export function desktopMeans(): { readonly why: string } | { readonly wrapper: readonly string[] } {
  if (!electronPath()) {
    return {
      why: 'Electron’s runtime is not here (npx install-electron --no fetches it), so the desktop tests did NOT run.',
    };
  }
  if (hasDisplay()) return { wrapper: [] };
  const wrapper = virtualDisplay();
  return wrapper
    ? { wrapper: [wrapper, '-a'] }
    : { why: 'There is no display and no xvfb-run, so the desktop tests did NOT run.' };
}

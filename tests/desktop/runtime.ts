// Is Electron's runtime here, and a display for its window? Where not, one sentence says so.
import fs from 'node:fs';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { hasDisplay } from '../../app/browser-host/open-browser.ts';
import { electronRuntime } from '../../app/runtime.ts';

export const root = fileURLToPath(new URL('../..', import.meta.url));

/** Found on the search path; it gives a window a display where there is none. */
const virtualDisplay = (): string | undefined =>
  (process.env['PATH'] ?? '')
    .split(path.delimiter)
    .map((folder) => path.join(folder, 'xvfb-run'))
    .find((file) => fs.existsSync(file));

/** How the desktop suite can be run, or why it cannot. */
export function desktopMeans(): { readonly why: string } | { readonly wrapper: readonly string[] } {
  if (!electronRuntime()) {
    return {
      why: 'Electron’s runtime is not here (npx install-electron --no fetches it): the tests in Electron itself',
    };
  }
  if (process.platform === 'linux' && process.getuid?.() === 0) {
    return { why: 'Electron’s sandbox does not work for root: the tests in Electron itself' };
  }
  if (hasDisplay(process.platform, process.env)) return { wrapper: [] };
  const wrapper = virtualDisplay();
  return wrapper
    ? { wrapper: [wrapper, '-a'] }
    : { why: 'There is no display and no xvfb-run: the tests in Electron itself' };
}

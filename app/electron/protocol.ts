// Serves the built view under our own scheme, with its content policy, and nothing outside the view's folder.
import { readFile } from 'node:fs/promises';
import path from 'node:path';
import { protocol } from 'electron';
import { headersOf, PAGE_HEADERS } from '../services/machine/content-policy.ts';
import { viewFile } from '../services/machine/view-files.ts';
import { isOurs, SCHEME } from './origin.ts';

/** Once, before the app is ready. Never `bypassCSP`. */
export function registerScheme(): void {
  protocol.registerSchemesAsPrivileged([
    {
      scheme: SCHEME,
      privileges: { standard: true, secure: true, supportFetchAPI: true, codeCache: true },
    },
  ]);
}

/** The view lies beside the main process: out/main and out/renderer. */
const builtView = path.join(import.meta.dirname, '..', 'renderer');

/** Serves the built view under our own scheme. @param folder of the view */
export function setUpProtocol(folder = builtView): void {
  protocol.handle(SCHEME, (request) => answer(request, folder));
}

async function answer({ url, method }: Request, folder: string): Promise<Response> {
  const refused = new Response('There is no such page.', { status: 404, headers: PAGE_HEADERS });
  if (method !== 'GET' || !isOurs(url)) return refused;
  const file = viewFile(folder, new URL(url).pathname);
  if (!file) return refused;
  try {
    const body = await readFile(file.path);
    return new Response(new Uint8Array(body), { headers: headersOf(file) });
  } catch {
    return refused;
  }
}

// Bundles a page of the audio tests and opens it in a browser, served to this machine only.
import { readFile } from 'node:fs/promises';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { fileURLToPath } from 'node:url';
import type { Browser, Page } from '@playwright/test';
import { build, type Rollup, type UserConfig } from 'vite';
import config from '../../../electron.config.ts';

const here = (name: string) => fileURLToPath(new URL(name, import.meta.url));

/** Modules are found as the program's own build finds them. */
function programResolve(): NonNullable<UserConfig['resolve']> {
  if (typeof config !== 'object' || !('renderer' in config)) throw new Error('no view is built');
  return config.renderer?.resolve ?? {};
}

/** One script with all it imports. */
async function bundled(entry: string): Promise<string> {
  const result = await build({
    root: here('.'),
    configFile: false,
    logLevel: 'error',
    resolve: programResolve(),
    build: {
      write: false,
      lib: { entry, formats: ['es'], fileName: 'page' },
      rolldownOptions: { output: { codeSplitting: false } },
    },
  });
  const outputs = (Array.isArray(result) ? result : [result]) as Rollup.RollupOutput[];
  return outputs[0]!.output[0].code;
}

/** What the program's own pages are allowed: no Blob worker, nothing from elsewhere. */
const POLICY = "default-src 'self'";

/** Opens a page that has run `script` (a file beside this one) and has been clicked once; `onError` hears what its console says. */
export async function openAudioPage(
  browser: Browser,
  script: string,
  policy = POLICY,
  onError: (text: string) => void = () => {},
): Promise<Page> {
  const files = await filesOf(script);
  const server = createServer((request, response) => {
    const file = files[request.url!];
    const type = file?.[0] ?? 'text/plain';
    response.writeHead(file ? 200 : 204, {
      'content-type': type,
      'content-security-policy': policy,
    });
    response.end(file?.[1]);
  });
  await new Promise<void>((listening) => server.listen(0, '127.0.0.1', listening));
  const page = await browser.newPage();
  page.on('console', (message) => message.type() === 'error' && onError(message.text()));
  page.on('pageerror', (error) => onError(error.message));
  page.on('close', () => server.close());
  await page.goto(`http://127.0.0.1:${(server.address() as AddressInfo).port}/`);
  await page.mouse.click(5, 5);
  return page;
}

type Files = Readonly<Record<string, readonly [type: string, body: string]>>;

async function filesOf(script: string): Promise<Files> {
  const html = '<!doctype html><title>audio</title><script type="module" src="/page.js"></script>';
  return {
    '/': ['text/html', html],
    '/page.js': ['text/javascript', await bundled(here(script))],
    '/recorder.js': ['text/javascript', await readFile(here('recorder.js'), 'utf8')],
  };
}

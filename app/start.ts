// `npm start`: the trainer in its own window where Electron's runtime is there or can be fetched, else in a browser.
// Options: see HELP below.
import { spawn, spawnSync } from 'node:child_process';
import fs from 'node:fs';
import { flushCompileCache } from 'node:module';
import os from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { hasDisplay } from './browser-host/open-browser.ts';
import { isTaken } from './browser-host/usual-port.ts';
import { builtMain, builtView, isOutOfDate } from './build.ts';
import { electronInstaller, electronRuntime } from './runtime.ts';
import { usualDataDirectory } from './services/machine/data-directory.ts';
import { inWords } from './services/machine/store/durable.ts';

const root = fileURLToPath(new URL('..', import.meta.url));

interface Options {
  readonly directory: string;
  readonly port: number | undefined;
  readonly open: boolean;
  /** The user asked for something only the browser host does. */
  readonly inBrowser: boolean;
}

/** Milliseconds in which a window that ends was never of use. */
const FIRST_SECONDS = 10_000;

const HELP = `npm start -- [options]

  --data DIR   keep charts, log and settings in this folder
  --port N     serve the trainer to a browser, at this port
  --no-open    serve it to a browser, and only print the address
  --help       say this
  --version    say the version`;

await start();

async function start(): Promise<void> {
  try {
    const options = readOptions();
    if (typeof options === 'string') return console.log(options);
    const why = whyNoWindow(options);
    if (why === undefined) await startWindow(options);
    else await startInBrowser(options, why);
  } catch (error) {
    console.error(startProblem(error));
    process.exit(1);
  }
}

/** What was asked for; or words to print, where words were asked for. */
function readOptions(): Options | string {
  const { values } = parseArgs({
    options: {
      data: { type: 'string' },
      port: { type: 'string' },
      'no-open': { type: 'boolean', default: false },
      help: { type: 'boolean', default: false },
      version: { type: 'boolean', default: false },
    },
  });
  if (values.help) return HELP;
  if (values.version) return version();
  const port = values.port === undefined ? undefined : Number(values.port);
  if (port !== undefined && !(Number.isInteger(port) && port >= 0 && port <= 65_535)) {
    throw new Error(`--port ${values.port} is not a port: give a whole number from 0 to 65535.`);
  }
  const usual = usualDataDirectory({
    platform: process.platform,
    home: os.homedir(),
    env: process.env,
  });
  return {
    directory: path.resolve(values.data ?? usual),
    port,
    open: !values['no-open'],
    inBrowser: values.port !== undefined || values['no-open'],
  };
}

/** Why there can be no window of its own, or undefined when there can. */
function whyNoWindow({ inBrowser }: Options): string | undefined {
  if (inBrowser) return 'As asked, the trainer is served to a browser.';
  if (!hasDisplay(process.platform, process.env)) {
    return 'There is no display for a window of its own, so the trainer is served to a browser.';
  }
  if (process.platform === 'linux' && process.getuid?.() === 0) {
    return 'Electron’s sandbox does not work for root, so the trainer is served to a browser.';
  }
  if (electronRuntime() !== undefined || fetchRuntime()) return undefined;
  return 'Electron’s runtime is not here and could not be fetched, so the trainer is served to a browser.';
}

/** Ten minutes for about 110 MB; a machine without the way out fails at once. */
function fetchRuntime(): boolean {
  console.log('Fetching Electron’s runtime for the trainer’s own window (about 110 MB, once) …');
  const { status } = spawnSync(process.execPath, [electronInstaller], {
    // The installer shows how far it is.
    stdio: 'inherit',
    timeout: 600_000,
  });
  return status === 0 && electronRuntime() !== undefined;
}

/** A window that fails in its first seconds (a missing system library, no sandbox) is given up for a browser. */
async function startWindow(options: Options): Promise<void> {
  if (isOutOfDate(builtMain) || isOutOfDate(path.join(builtView, 'index.html'))) build();
  console.log('Rungwise opens its window. Close it to stop, or press Ctrl+C here.');
  const began = performance.now();
  const child = spawn(electronRuntime()!, [root, `--data=${options.directory}`], {
    stdio: 'inherit',
  });
  let stopped = false;
  const stop = (signal: NodeJS.Signals): void => {
    stopped = true;
    child.kill(signal);
  };
  process.on('SIGINT', stop).on('SIGTERM', stop);
  const code = await new Promise<number | null>((resolve) => child.on('close', resolve));
  process.off('SIGINT', stop).off('SIGTERM', stop);
  const wasOfUse = code === 0 || stopped || performance.now() - began > FIRST_SECONDS;
  if (wasOfUse) process.exit(code ?? 1);
  await startInBrowser(
    options,
    'The window could not be opened, so the trainer is served to a browser.',
  );
}

async function startInBrowser(options: Options, why: string): Promise<void> {
  console.log(why);
  if (isOutOfDate(path.join(builtView, 'index.html'))) {
    console.log('Building the view …');
    build('--view');
  }
  const { runBrowserHost } = await import('./browser-host/main.ts');
  const { directory, port, open } = options;
  await runBrowserHost({ directory, port, open, view: builtView, version: version() });
  flushCompileCache();
}

/** In a process of its own, so that what it takes is given back. @throws Error where it fails; it has said why. */
function build(...options: readonly string[]): void {
  const script = path.join(root, 'app', 'build.ts');
  const { status } = spawnSync(process.execPath, [script, ...options], { stdio: 'inherit' });
  if (status !== 0) throw new Error('The view could not be built; what is wrong stands above.');
}

function version(): string {
  const text = fs.readFileSync(path.join(root, 'package.json'), 'utf8');
  return (JSON.parse(text) as { version: string }).version;
}

function startProblem(error: unknown): string {
  if (isTaken(error)) {
    return 'That port is taken by another program: choose another with --port N, or leave it out.';
  }
  return inWords(error);
}

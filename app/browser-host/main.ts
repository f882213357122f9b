// Runs the trainer in the browser host until it is told to stop, and then loses nothing.
import { randomUUID } from 'node:crypto';
import fs from 'node:fs';
import path from 'node:path';
import Conf from 'conf';
import { demoCharts } from '../services/machine/demo-charts.ts';
import { troubleOf, writeTrouble } from '../services/machine/trouble-log.ts';
import { rescue } from '../services/machine/rescue.ts';
import type { HostActions, ServiceHost } from '../services/machine/host.ts';
import { openServices } from '../services/machine/services.ts';
import { FolderInUse } from '../services/machine/store/data-folder.ts';
import type { StoreEngine } from '../services/machine/store/store-file.ts';
import { askForAddress, leaveDoorkey, takeDoorkey } from './doorkey.ts';
import { hasDisplay, openBrowser } from './open-browser.ts';
import type { BrowserHost } from './server.ts';
import { startBrowserHost } from './server.ts';
import { isTaken, usualPort } from './usual-port.ts';

export interface BrowserHostRun {
  readonly directory: string;
  /** Undefined: the folder's usual port, or any free one where that is taken. 0 takes any free port. */
  readonly port: number | undefined;
  readonly open: boolean;
  /** Folder of the built view. */
  readonly view: string;
  readonly version: string;
}

/**
 * Prints the address alone on a line; returns once the host listens. On a folder that is served already it prints
 * a fresh address of the program that serves it, and returns. @throws FolderInUse where that one does not answer.
 */
export async function runBrowserHost(run: BrowserHostRun): Promise<void> {
  const services = openOurs(run) ?? (await again(run));
  if (!services) return;
  const host = await serve(services, run);
  leaveDoorkey(run.directory, host.port, host.doorkey);
  stopOnSignals(services, run.directory, host.close);
  surviveErrors(run.directory);
  console.log('Rungwise is ready. Open this address in a browser on this machine; it opens once:');
  show(host.address, run);
  console.log('To stop it, press Ctrl+C here. Everything you play is kept.');
}

/** Undefined when another program holds the folder. */
function openOurs(run: BrowserHostRun): ServiceHost | undefined {
  try {
    return openServices({
      directory: run.directory,
      engine: Conf as unknown as StoreEngine,
      host: hostActions(run.version),
      now: () => new Date(),
      newId: randomUUID,
      demoCharts,
    });
  } catch (error) {
    if (error instanceof FolderInUse) return undefined;
    throw error;
  }
}

async function again(run: BrowserHostRun): Promise<undefined> {
  const address = await askForAddress(run.directory);
  if (address === undefined) throw new FolderInUse(run.directory);
  console.log('Rungwise is running already. Open this fresh address; it opens once:');
  show(address, run);
}

function show(address: string, { directory, open }: BrowserHostRun): void {
  console.log(address);
  if (!open || !hasDisplay(process.platform, process.env)) return;
  const page = redirectTo(address, directory);
  if (page === undefined) console.log('No browser could be opened; open this address yourself.');
  else void openBrowser(page);
}

const redirectFile = (directory: string): string => path.join(directory, 'open.html');
const dropRedirect = (directory: string): void =>
  fs.rmSync(redirectFile(directory), { force: true });

/**
 * A page that leads to the address, for the owner's eyes only, until it was used: what is handed to the system's
 * opener stands in its list of processes, and so no secret may. Undefined where the folder takes none.
 */
function redirectTo(address: string, directory: string): string | undefined {
  const file = redirectFile(directory);
  const page = `<!doctype html><meta http-equiv="refresh" content="0;url=${address}">`;
  try {
    dropRedirect(directory);
    fs.writeFileSync(file, page, { flag: 'wx', mode: 0o600 });
    return file;
  } catch {
    return undefined;
  }
}

/** The data directory is let go when the port is taken. */
async function serve(services: ServiceHost, run: BrowserHostRun): Promise<BrowserHost> {
  const opened = (): void => dropRedirect(run.directory);
  const at = (port: number) => startBrowserHost({ services, view: run.view, port, opened });
  try {
    if (run.port !== undefined) return await at(run.port);
    return await at(usualPort(run.directory)).catch((error: unknown) => {
      if (isTaken(error)) return at(0);
      throw error;
    });
  } catch (error) {
    services.close();
    throw error;
  }
}

const hostActions = (version: string): HostActions => ({
  kind: 'browser',
  version,
  // The page keeps the screen awake itself: services/page-awake.ts.
  climbing: () => undefined,
  takeFiles: () => Promise.resolve([]),
  printPdf: () => Promise.resolve({ kind: 'use-browser-print' }),
  openFolder: async (directory) =>
    hasDisplay(process.platform, process.env) && (await openBrowser(directory)),
});

/** A stream that breaks or a descriptor that is missing never ends the program. */
function surviveErrors(directory: string): void {
  for (const event of ['uncaughtException', 'unhandledRejection'] as const) {
    process.on(event, (error: unknown) =>
      writeTrouble(directory, troubleOf('program', error), new Date()),
    );
  }
}

function stopOnSignals(services: ServiceHost, directory: string, close: () => Promise<void>): void {
  let stopping = false;
  const stop = async (): Promise<void> => {
    if (stopping) return;
    stopping = true;
    dropRedirect(directory);
    takeDoorkey(directory);
    const lost = rescue(services.close(), directory, new Date());
    if (lost) console.error(lost);
    await close();
    console.log('Rungwise has stopped.');
    process.exit(lost ? 1 : 0);
  };
  for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) {
    process.on(signal, () => void stop());
  }
}

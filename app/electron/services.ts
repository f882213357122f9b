// The machine side in Electron: electron-store underneath, Electron's own actions, nothing lost at the end.
import { randomUUID } from 'node:crypto';
import path from 'node:path';
import { app, dialog } from 'electron';
import ElectronStore from 'electron-store';
import { demoCharts } from '../services/machine/demo-charts.ts';
import { rescue } from '../services/machine/rescue.ts';
import type { HostActions, ServiceHost } from '../services/machine/host.ts';
import { openServices } from '../services/machine/services.ts';
import { inWords } from '../services/machine/store/durable.ts';
import type { StoreEngine } from '../services/machine/store/store-file.ts';

const engine = ElectronStore as unknown as StoreEngine;

/** Undefined when the data directory is in use: the user has been told, and the program ends. */
export function setUpServices(directory: string, host: HostActions): ServiceHost | undefined {
  try {
    const services = openServices({
      directory,
      engine,
      host,
      now: () => new Date(),
      newId: randomUUID,
      demoCharts: () => demoCharts(path.join(app.getAppPath(), 'assets', 'charts')),
    });
    app.on('will-quit', () => closeServices(services, directory));
    return services;
  } catch (error) {
    dialog.showErrorBox('Rungwise cannot start', `${inWords(error)}\n\nFolder: ${directory}`);
    app.quit();
    return undefined;
  }
}

function closeServices(services: ServiceHost, directory: string): void {
  const lost = rescue(services.close(), directory, new Date());
  if (lost) dialog.showErrorBox('Not everything could be written', lost);
}

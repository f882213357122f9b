// A window that dies, hangs or does not load is named and offered a way on; what was judged is on disk already.
import type { WebContents } from 'electron';
import { app, dialog } from 'electron';
import { troubleOf, writeTrouble } from '../services/machine/trouble-log.ts';
import { START_PAGE } from './origin.ts';

/** @param directory The data folder, which holds the log of troubles. */
export function setUpCrashes(directory: string): void {
  for (const event of ['uncaughtException', 'unhandledRejection'] as const) {
    process.on(event, (error: unknown) =>
      writeTrouble(directory, troubleOf('main process', error), new Date()),
    );
  }
  app.on('render-process-gone', (_event, contents, { reason }) => {
    if (reason !== 'clean-exit') void offerReload(contents, `The window stopped (${reason}).`);
  });
  app.on('child-process-gone', (_event, { type, reason }) => {
    if (reason !== 'clean-exit') console.error(`A helper process (${type}) stopped: ${reason}.`);
  });
  app.on('web-contents-created', (_event, contents) => {
    contents.on('unresponsive', () => void offerReload(contents, 'The window does not answer.'));
    contents.on('did-fail-load', (_load, code, description, _url, isMainFrame) => {
      // −3 is a load that was given up for another one, e.g. by reloading.
      if (isMainFrame && code !== -3) {
        dialog.showErrorBox('The trainer did not load', `${description} (${code}).`);
      }
    });
  });
}

async function offerReload(contents: WebContents, what: string): Promise<void> {
  const { response } = await dialog.showMessageBox({
    type: 'warning',
    message: what,
    detail: 'Every pass that was judged is on disk. Load the window again?',
    buttons: ['Load again', 'Wait'],
    defaultId: 0,
    cancelId: 1,
  });
  if (response === 0 && !contents.isDestroyed()) await contents.loadURL(START_PAGE);
}

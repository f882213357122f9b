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
    if (reason !== 'clean-exit') void afterCrash(contents);
  });
  app.on('child-process-gone', (_event, { type, reason }) => {
    if (reason !== 'clean-exit') console.error(`A helper process (${type}) stopped: ${reason}.`);
  });
  app.on('web-contents-created', (_event, contents) => {
    contents.on('unresponsive', () => void whileHanging(contents));
    contents.on('did-fail-load', (_load, code, description, _url, isMainFrame) => {
      // −3 is a load that was given up for another one, e.g. by reloading.
      if (isMainFrame && code !== -3) {
        dialog.showErrorBox('The trainer did not load', `${description} (${code}).`);
      }
    });
  });
}

/** There is nothing to wait for: the window opens again, or the program ends. Never a dead window. */
async function afterCrash(contents: WebContents): Promise<void> {
  const again = await asks('The window stopped.', ['Open again', 'Quit']);
  if (!again) app.quit();
  else if (!contents.isDestroyed()) await contents.loadURL(START_PAGE);
}

async function whileHanging(contents: WebContents): Promise<void> {
  const again = await asks('The window does not answer.', ['Open again', 'Wait']);
  if (again && !contents.isDestroyed()) await contents.loadURL(START_PAGE);
}

async function asks(message: string, buttons: [first: string, second: string]): Promise<boolean> {
  const { response } = await dialog.showMessageBox({
    type: 'warning',
    message,
    detail: 'Every pass that was judged is on disk.',
    buttons,
    defaultId: 0,
    cancelId: 1,
  });
  return response === 0;
}

// What `import … from 'electron'` finds in the stand-in.
import { app } from './app.ts';
import { crashListeners } from './contents.ts';
import { ipcMain } from './ipc.ts';
import { net, protocol, session } from './session.ts';
import {
  dialog,
  Menu,
  nativeTheme,
  powerMonitor,
  powerSaveBlocker,
  screen,
  shell,
} from './shell.ts';
import { BrowserWindow } from './window.ts';

BrowserWindow.made.add((window) => {
  app.emit('web-contents-created', {}, window.webContents);
  app.emit('browser-window-created', {}, window);
});
BrowserWindow.noneLeft.add(() => {
  if (app.quitting) return;
  if (app.listenerCount('window-all-closed') === 0) app.quit();
  else app.emit('window-all-closed');
});
crashListeners.add((contents, details) => app.emit('render-process-gone', {}, contents, details));

export {
  app,
  BrowserWindow,
  dialog,
  ipcMain,
  Menu,
  nativeTheme,
  net,
  powerMonitor,
  powerSaveBlocker,
  protocol,
  screen,
  session,
  shell,
};
/** electron-store asks for it in a page only. */
export const ipcRenderer = undefined;
/** There is no keeper of secrets here: they lie in a file that is closed to others. */
export const safeStorage = { isAsyncEncryptionAvailable: () => Promise.resolve(false) };
export const clipboard = { writeText: (): void => undefined };

export default {
  ...{ app, BrowserWindow, clipboard, dialog, ipcMain, Menu, nativeTheme, powerMonitor },
  ...{ powerSaveBlocker, net, protocol, screen, session, shell },
};

// The one window: sandboxed, isolated, at its old place (Electron keeps it), shown when its first picture is ready.
import path from 'node:path';
import { app, BrowserWindow } from 'electron';
import type { ServiceHost } from '../services/machine/host.ts';
import type { ClimbKeeper } from './climb-keeper.ts';
import { bringOnScreen } from './on-screen.ts';
import { START_PAGE } from './origin.ts';

/** Opens the window, follows its climb, and ends the program with the last one, except on macOS. */
export function setUpWindow(services: ServiceHost, climb: ClimbKeeper): void {
  const open = (): void => follow(openWindow(), services, climb);
  open();
  // On macOS a program goes on without windows, and a click on its icon brings one back.
  app.on('activate', () => {
    if (BrowserWindow.getAllWindows().length === 0) open();
  });
  app.on('window-all-closed', () => {
    climb.end();
    if (process.platform !== 'darwin') app.quit();
  });
}

function openWindow(): BrowserWindow {
  const window = new BrowserWindow({
    name: 'trainer',
    windowStatePersistence: true,
    width: 1200,
    height: 800,
    minWidth: 640,
    minHeight: 480,
    show: false,
    title: 'Rungwise',
    // The icon of the packaged program is the system's; this one serves a start from the sources.
    icon: path.join(app.getAppPath(), 'assets', 'icons', 'icon.png'),
    webPreferences: {
      preload: path.join(import.meta.dirname, '..', 'preload', 'index.cjs'),
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      spellcheck: false,
    },
  });
  window.once('ready-to-show', () => {
    bringOnScreen(window);
    window.show();
  });
  void window.loadURL(START_PAGE);
  return window;
}

/** A climb ends with its page; a window that is hidden tells the page, which cannot see it at full speed. */
function follow(window: BrowserWindow, services: ServiceHost, climb: ClimbKeeper): void {
  const { webContents } = window;
  webContents.on('render-process-gone', climb.end);
  webContents.on('did-start-navigation', ({ isMainFrame, isSameDocument }) => {
    if (isMainFrame && !isSameDocument) climb.end();
  });
  const hidden = (): void => services.emit('power', { state: 'hidden' });
  window.on('minimize', hidden);
  window.on('hide', hidden);
}

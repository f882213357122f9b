// The one window: sandboxed, isolated, at its old place, shown when its first picture is ready.
import path from 'node:path';
import { app, BrowserWindow } from 'electron';
import type { ServiceHost } from '../services/machine/services.ts';
import { START_PAGE } from './origin.ts';
import { engine } from './services.ts';
import { keepWindowState } from './window-state.ts';

export function setUpWindow(directory: string, services: ServiceHost): void {
  openWindow(directory);
  // On macOS a program goes on without windows, and a click on its icon brings one back.
  app.on('activate', () => {
    if (BrowserWindow.getAllWindows().length === 0) openWindow(directory);
  });
  app.on('window-all-closed', () => {
    void services.handle('host.climbing', { on: false });
    if (process.platform !== 'darwin') app.quit();
  });
}

function openWindow(directory: string): void {
  const { state, watch } = keepWindowState(directory, engine);
  const window = new BrowserWindow({
    width: 1200,
    height: 800,
    minWidth: 640,
    minHeight: 480,
    ...state.bounds,
    show: false,
    title: 'Rungwise',
    // The icon of the packaged program is the system's; this one serves a start from the sources.
    icon: path.join(app.getAppPath(), 'assets', 'icons', '256x256.png'),
    webPreferences: {
      preload: path.join(import.meta.dirname, '..', 'preload', 'index.cjs'),
      contextIsolation: true,
      sandbox: true,
      nodeIntegration: false,
      spellcheck: false,
    },
  });
  if (state.maximized) window.maximize();
  watch(window);
  window.once('ready-to-show', () => window.show());
  void window.loadURL(START_PAGE);
}

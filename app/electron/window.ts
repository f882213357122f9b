// The one window: sandboxed, isolated, at its old place (Electron keeps it), shown when its first picture is ready.
import path from 'node:path';
import { app, BrowserWindow } from 'electron';
import type { ServiceHost } from '../services/machine/host.ts';
import { START_PAGE } from './origin.ts';

export function setUpWindow(services: ServiceHost): void {
  openWindow();
  // On macOS a program goes on without windows, and a click on its icon brings one back.
  app.on('activate', () => {
    if (BrowserWindow.getAllWindows().length === 0) openWindow();
  });
  app.on('window-all-closed', () => {
    void services.handle('host.climbing', { on: false });
    if (process.platform !== 'darwin') app.quit();
  });
}

function openWindow(): void {
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
  window.once('ready-to-show', () => window.show());
  void window.loadURL(START_PAGE);
}

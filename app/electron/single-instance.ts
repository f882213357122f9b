// One window per data directory: a second start brings the first window forward and ends.
import { app, BrowserWindow } from 'electron';

/** False when another instance runs; this one is then on its way out. */
export function setUpSingleInstance(): boolean {
  if (!app.requestSingleInstanceLock()) {
    app.quit();
    return false;
  }
  app.on('second-instance', () => {
    const window = BrowserWindow.getAllWindows()[0];
    if (!window) return;
    if (window.isMinimized()) window.restore();
    window.focus();
  });
  return true;
}

// One window per data directory: a second start brings the first window forward, hands it its files, and ends.
import { app, BrowserWindow } from 'electron';
import type { OpenedFiles } from './opened-files.ts';

/** False when another instance runs; this one is then on its way out. */
export function setUpSingleInstance(files: OpenedFiles): boolean {
  if (!app.requestSingleInstanceLock()) {
    app.quit();
    return false;
  }
  files.fromArguments(process.argv.slice(1), process.cwd());
  app.on('second-instance', (_event, argv, folder) => {
    files.fromArguments(argv.slice(1), folder);
    const window = BrowserWindow.getAllWindows()[0];
    if (!window) return;
    if (window.isMinimized()) window.restore();
    window.focus();
  });
  // macOS hands files over by this event, before the program is ready, too.
  app.on('open-file', (event, file) => {
    event.preventDefault();
    files.add([file]);
  });
  return true;
}

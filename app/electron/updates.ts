// Newer versions, from a feed that whoever packs the program sets; without one, nothing is ever asked or fetched.
import fs from 'node:fs';
import path from 'node:path';
import { app, dialog } from 'electron';

/** electron-builder writes this file beside the program where a feed is set (`publish`). */
const FEED = 'app-update.yml';

/** In an installed program with a feed beside it: asks once whether there is a newer version. Never throws. */
export function setUpUpdates(): void {
  if (!app.isPackaged || !fs.existsSync(path.join(process.resourcesPath, FEED))) return;
  void offerUpdate().catch((error: unknown) => {
    console.error(`No word about newer versions: ${String(error)}`);
  });
}

/** Asked before anything is fetched, and again before anything is installed. */
async function offerUpdate(): Promise<void> {
  const look = await asks('Look for a newer version of Rungwise?', 'Look');
  if (!look) return;
  const { default: updater } = await import('electron-updater');
  const { autoUpdater } = updater;
  autoUpdater.autoDownload = false;
  autoUpdater.autoInstallOnAppQuit = false;
  const found = await autoUpdater.checkForUpdates();
  if (!found?.isUpdateAvailable) return;
  if (!(await asks(`Rungwise ${found.updateInfo.version} is there. Fetch it?`, 'Fetch'))) return;
  await autoUpdater.downloadUpdate();
  if (await asks('The new version is ready. Start it now?', 'Start')) autoUpdater.quitAndInstall();
}

async function asks(message: string, yes: string): Promise<boolean> {
  const { response } = await dialog.showMessageBox({
    type: 'question',
    message,
    buttons: [yes, 'Not now'],
    defaultId: 1,
    cancelId: 1,
  });
  return response === 0;
}

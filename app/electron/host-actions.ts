// What only Electron can do for the view: stay awake while climbing, print to a file.
import { writeFile } from 'node:fs/promises';
import { app, BrowserWindow, dialog, powerSaveBlocker, shell } from 'electron';
import type { ParsedInput, PrintAnswer } from '../services/contract/contract.ts';
import type { HostActions } from '../services/machine/host.ts';

export const hostActions = (): HostActions => ({
  kind: 'electron',
  version: app.getVersion(),
  climbing: stayAwake(),
  printPdf,
  openFolder: async (directory) => (await shell.openPath(directory)) === '',
});

/** While on: the display stays lit and a covered window keeps its full speed. Asked twice, done once. */
export function stayAwake(): (on: boolean) => void {
  let blocker: number | undefined;
  return (on) => {
    for (const { webContents } of BrowserWindow.getAllWindows()) {
      webContents.setBackgroundThrottling(!on);
    }
    if (on) blocker ??= powerSaveBlocker.start('prevent-display-sleep');
    else if (blocker !== undefined) {
      powerSaveBlocker.stop(blocker);
      blocker = undefined;
    }
  };
}

async function printPdf({ title, paper }: ParsedInput<'host.printPdf'>): Promise<PrintAnswer> {
  const window = BrowserWindow.getAllWindows()[0];
  if (!window) return { kind: 'cancelled' };
  const { canceled, filePath } = await dialog.showSaveDialog(window, {
    defaultPath: `${fileName(title)}.pdf`,
    filters: [{ name: 'PDF', extensions: ['pdf'] }],
  });
  if (canceled || !filePath) return { kind: 'cancelled' };
  const pdf = await window.webContents.printToPDF({ pageSize: paper, preferCSSPageSize: true });
  await writeFile(filePath, pdf);
  return { kind: 'saved', path: filePath };
}

/** A title without the signs that file names cannot hold on some system. */
export const fileName = (title: string): string =>
  title
    .replace(/[\\/:*?"<>|\u0000-\u001f]/g, ' ')
    .replace(/\s+/g, ' ')
    .trim()
    .slice(0, 80) || 'Rungwise';

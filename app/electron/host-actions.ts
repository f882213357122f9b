// What only Electron can do for the view: stay awake while climbing, print to a file, hand over opened files.
import { writeFile } from 'node:fs/promises';
import { app, BrowserWindow, dialog, shell } from 'electron';
import type { ParsedInput } from '../services/contract/contract.ts';
import type { PrintAnswer } from '../services/contract/host.ts';
import type { HostActions } from '../services/machine/host.ts';
import { inWords } from '../services/machine/store/durable.ts';
import type { ClimbKeeper } from './climb-keeper.ts';
import type { OpenedFiles } from './opened-files.ts';
import { systemVault } from './vault.ts';

/** What only this shell can do, for the services. */
export const hostActions = (climb: ClimbKeeper, files: OpenedFiles): HostActions => ({
  kind: 'electron',
  version: app.getVersion(),
  climbing: climb.tell,
  printPdf,
  openFolder: async (directory) => (await shell.openPath(directory)) === '',
  takeFiles: files.take,
  vault: systemVault,
});

async function printPdf({ title, paper }: ParsedInput<'host.printPdf'>): Promise<PrintAnswer> {
  const window = BrowserWindow.getAllWindows()[0];
  if (!window) return { kind: 'cancelled' };
  const { canceled, filePath } = await dialog.showSaveDialog(window, {
    defaultPath: `${fileName(title)}.pdf`,
    filters: [{ name: 'PDF', extensions: ['pdf'] }],
  });
  if (canceled || !filePath) return { kind: 'cancelled' };
  const pdf = await window.webContents.printToPDF({ pageSize: paper, preferCSSPageSize: true });
  try {
    await writeFile(filePath, pdf);
  } catch (error) {
    return { kind: 'not-saved', path: filePath, why: inWords(error) };
  }
  return { kind: 'saved', path: filePath };
}

/** A title without the signs that file names cannot hold on some system. */
const fileName = (title: string): string =>
  title
    .replace(/[\\/:*?"<>|\u0000-\u001f]/g, ' ')
    .replace(/\s+/g, ' ')
    .trim()
    .slice(0, 80) || 'Rungwise';

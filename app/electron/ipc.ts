// Answers the window's calls and passes events on; only the main frame of our own page is heard.
import type { IpcMainInvokeEvent } from 'electron';
import { BrowserWindow, ipcMain } from 'electron';
import type { Envelope } from '../services/contract/contract.ts';
import type { ServiceHost } from '../services/machine/host.ts';
import { CALL, EVENT } from './channels.ts';
import { isOurs } from './origin.ts';

/** Answers calls of our own page only, and sends events to every window. */
export function setUpIpc(services: ServiceHost): void {
  ipcMain.handle(CALL, (event, name: unknown, input: unknown) => {
    if (!isFromOurPage(event) || typeof name !== 'string') return STRANGER;
    return services.handle(name, input);
  });
  services.listen((name, detail) => {
    for (const window of BrowserWindow.getAllWindows()) {
      window.webContents.send(EVENT, name, detail);
    }
  });
}

/** A frame that has gone is null; a frame within the page is not the main frame. */
export function isFromOurPage({ senderFrame, sender }: IpcMainInvokeEvent): boolean {
  return senderFrame !== null && senderFrame === sender.mainFrame && isOurs(senderFrame.url);
}

const STRANGER: Envelope<never> = {
  ok: false,
  problems: [
    {
      code: 'stranger',
      message: 'The call does not come from the trainer’s own page.',
      cure: 'Start Rungwise again.',
    },
  ],
};

// What the sandboxed page gets of Electron: calls out, events in, plain data both ways. The main process
// refuses calls that are not in the contract.
import { contextBridge, ipcRenderer } from 'electron';
import type { Bridge } from '../services/contract/bridge.ts';
import type { Envelope } from '../services/contract/contract.ts';
import { CALL, EVENT } from './channels.ts';

const bridge: Bridge = {
  call: (name, input) => ipcRenderer.invoke(CALL, name, input) as Promise<Envelope<unknown>>,
  on: (event, listener) => {
    // Electron's event object stays here; it would hand the page the sender.
    const receive = (_event: unknown, name: string, detail: unknown): void => {
      if (name === event) listener(detail);
    };
    ipcRenderer.on(EVENT, receive);
    // What `off` gives back is the renderer's own door: it stays here, too.
    return () => void ipcRenderer.off(EVENT, receive);
  },
};

contextBridge.exposeInMainWorld('rungwise', bridge);

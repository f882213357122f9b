// What the sandboxed page gets of Electron: known calls out, known events in, plain data both ways.
import { contextBridge, ipcRenderer } from 'electron';
import type { Bridge } from '../services/client/client.ts';
import type { Envelope } from '../services/contract/contract.ts';
import { callNames, eventNames } from '../services/contract/names.ts';
import { CALL, EVENT } from './channels.ts';

const bridge: Bridge = {
  call: (name, input) => {
    if (!callNames.includes(name)) return Promise.reject(new TypeError(`no call ‘${name}’`));
    return ipcRenderer.invoke(CALL, name, input) as Promise<Envelope<unknown>>;
  },
  on: (event, listener) => {
    if (!eventNames.includes(event)) throw new TypeError(`no event ‘${event}’`);
    // Electron's event object stays here; it would hand the page the sender.
    const receive = (_event: unknown, name: string, detail: unknown): void => {
      if (name === event) listener(detail);
    };
    ipcRenderer.on(EVENT, receive);
    return () => ipcRenderer.off(EVENT, receive);
  },
};

contextBridge.exposeInMainWorld('rungwise', bridge);

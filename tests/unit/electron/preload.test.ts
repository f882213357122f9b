// The preload gives the page calls and events, and nothing of Electron's own.
import { beforeEach, expect, it, vi } from 'vitest';
import type { Bridge } from '../../../app/services/contract/bridge.ts';
import { contextBridge, ipcRenderer, resetElectron } from './fake-electron.ts';

// One and the same fake, however often the modules under test are loaded anew.
const electron = await vi.hoisted(() => import('./fake-electron.ts'));
vi.mock('electron', () => electron);

let bridge: Bridge;
beforeEach(async () => {
  resetElectron();
  vi.resetModules();
  await import('../../../app/electron/preload.ts');
  bridge = contextBridge.exposed['rungwise'] as Bridge;
});

it('exposes two functions under one name', () => {
  expect(Object.keys(contextBridge.exposed)).toEqual(['rungwise']);
  expect(Object.keys(bridge)).toEqual(['call', 'on']);
});

it('passes a call on over the one channel of calls', async () => {
  await bridge.call('host.info', {});
  expect(ipcRenderer.invoke).toHaveBeenCalledExactlyOnceWith('rungwise:call', 'host.info', {});
});

it('hands over the detail of an event without Electron’s event object, until told to stop', () => {
  const seen: unknown[][] = [];
  const stop = bridge.on('power', (...args: unknown[]) => seen.push(args));
  const event = { sender: 'secret' };
  ipcRenderer.emit('rungwise:event', event, 'power', { state: 'suspend' });
  ipcRenderer.emit('rungwise:event', event, 'menu', { action: 'print' });
  // Electron's `off` gives back `ipcRenderer` itself.
  expect(stop()).toBeUndefined();
  ipcRenderer.emit('rungwise:event', event, 'power', { state: 'resume' });
  expect(seen).toEqual([[{ state: 'suspend' }]]);
});

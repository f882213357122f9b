// The preload gives the page known calls and events, and nothing of Electron's own.
import { beforeEach, expect, it, vi } from 'vitest';
import type { Bridge } from '../../../app/services/client/client.ts';
import { calls } from '../../../app/services/contract/contract.ts';
import { callNames } from '../../../app/services/contract/names.ts';
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

it('knows every call of the contract', () => {
  expect([...callNames].sort()).toEqual(Object.keys(calls).sort());
});

it('passes a known call on and refuses any other', async () => {
  await bridge.call('host.info', {});
  expect(ipcRenderer.invoke).toHaveBeenCalledExactlyOnceWith('rungwise:call', 'host.info', {});
  await expect(bridge.call('constructor' as never, {})).rejects.toThrow(TypeError);
  expect(ipcRenderer.invoke).toHaveBeenCalledOnce();
});

it('hands over the detail of an event without Electron’s event object, until told to stop', () => {
  const seen: unknown[][] = [];
  const stop = bridge.on('power', (...args: unknown[]) => seen.push(args));
  const event = { sender: 'secret' };
  ipcRenderer.emit('rungwise:event', event, 'power', { state: 'suspend' });
  ipcRenderer.emit('rungwise:event', event, 'menu', { action: 'print' });
  stop();
  ipcRenderer.emit('rungwise:event', event, 'power', { state: 'resume' });
  expect(seen).toEqual([[{ state: 'suspend' }]]);
  expect(() => bridge.on('nonsense' as never, () => undefined)).toThrow(TypeError);
});
